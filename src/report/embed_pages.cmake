# Writes OUT, a C++ file in which every one of FILES is a text under its own name.
# Run as: cmake -DFILES="a.html;b.css" -DOUT=file.cpp -P embed_pages.cmake
set(entries "")
foreach(file IN LISTS FILES)
  get_filename_component(name ${file} NAME)
  file(READ ${file} text)
  string(APPEND entries "  if (name == \"${name}\")\n    return R\"PAGE(${text})PAGE\";\n")
endforeach()
file(WRITE ${OUT} "// Made from the pages of the worksheet; change those instead.
#include \"report/pages.h\"

namespace powderplan {

std::string_view page_named([[maybe_unused]] std::string_view name) {
${entries}  return {};
}

}  // namespace powderplan
")
