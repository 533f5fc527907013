# cpack (in the build folder) makes two Debian packages.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME powderplan)
set(CPACK_PACKAGE_CONTACT "the powderplan authors <authors@powderplan.invalid>")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)

set(CPACK_COMPONENTS_ALL program development)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_COMPRESSION_TYPE xz)

set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "Turns a picture into layers of powder, stencils to cut, fades and lines,
firings, grams, and previews of what comes out of the kiln.")
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME powderplan)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SECTION graphics)
# What it is linked to is read off the files; the typeface of its pages cannot be.
set(CPACK_DEBIAN_PROGRAM_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS ${CMAKE_BINARY_DIR}/lib/powderplan)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_DEPENDS fonts-dejavu-core)

set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "Headers, static library and CMake files: powders, layers, their colours
and firings, for programs of your own.")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME powderplan-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
# Whoever links the library links these too; powderplan-config.cmake looks for them.
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS
  "libopencv-dev, libpng-dev, libjpeg-dev, libtiff-dev, \
libwebp-dev, libopenjp2-7-dev, libopenexr-dev, liblcms2-dev, libexif-dev, libpolyclipping-dev, libfmt-dev, \
libcairo2-dev, libpango1.0-dev, libfontconfig-dev, libssl-dev, pkg-config, fonts-dejavu-core")
include(CPack)
