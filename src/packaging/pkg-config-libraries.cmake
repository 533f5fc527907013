# Libraries that only pkg-config knows: for this build, and for those who link the installed library.
pkg_check_modules(LCMS2 REQUIRED QUIET IMPORTED_TARGET lcms2)
pkg_check_modules(EXIF REQUIRED QUIET IMPORTED_TARGET libexif)
pkg_check_modules(WEBP REQUIRED QUIET IMPORTED_TARGET libwebp)
pkg_check_modules(OPENJPEG REQUIRED QUIET IMPORTED_TARGET libopenjp2>=2.5)
pkg_check_modules(CLIPPER REQUIRED QUIET IMPORTED_TARGET polyclipping)
pkg_check_modules(CAIRO REQUIRED QUIET IMPORTED_TARGET cairo)
pkg_check_modules(PANGO REQUIRED QUIET IMPORTED_TARGET pangocairo pangoft2 fontconfig)
