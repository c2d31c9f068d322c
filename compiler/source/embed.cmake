# fettle_embed(TARGET FUNCTION BASE folder FILES file...): builds the files into TARGET as they are.
# Declare what comes of it where it is used:
#
#     #include "compiler/source/embedded.h"
#     namespace fettle { std::span<const EmbeddedFile> FUNCTION(); } // sorted by name
#
# The same file is the script that writes the source at build time, when one of the files changes.
if(NOT DEFINED FETTLE_EMBED_OUT)
  set(FETTLE_EMBED_SCRIPT ${CMAKE_CURRENT_LIST_FILE})

  function(fettle_embed target symbol)
    cmake_parse_arguments(EMBED "" "BASE" "FILES" ${ARGN})
    set(files)
    foreach(file ${EMBED_FILES})
      file(REAL_PATH ${file} path BASE_DIRECTORY ${CMAKE_SOURCE_DIR})
      list(APPEND files ${path})
    endforeach()
    list(SORT files)
    file(REAL_PATH ${EMBED_BASE} base BASE_DIRECTORY ${CMAKE_SOURCE_DIR})
    set(out ${CMAKE_BINARY_DIR}/embedded/${symbol}.cpp)
    # A list of its own, so that a file that goes away is noticed as well.
    set(listing ${CMAKE_BINARY_DIR}/embedded/${symbol}.list)
    list(JOIN files "\n" lines)
    file(CONFIGURE OUTPUT ${listing} CONTENT "${lines}" @ONLY)
    add_custom_command(OUTPUT ${out}
      COMMAND ${CMAKE_COMMAND} -DFETTLE_EMBED_OUT=${out} -DFETTLE_EMBED_SYMBOL=${symbol}
              -DFETTLE_EMBED_BASE=${base} -DFETTLE_EMBED_LIST=${listing} -P ${FETTLE_EMBED_SCRIPT}
      DEPENDS ${files} ${listing} ${FETTLE_EMBED_SCRIPT} VERBATIM
      COMMENT "Embedding ${symbol}")
    target_sources(${target} PRIVATE ${out})
  endfunction()
  return()
endif()

file(STRINGS ${FETTLE_EMBED_LIST} files ENCODING UTF-8)
set(texts)
set(rows)
set(index 0)
foreach(path ${files})
  file(RELATIVE_PATH name ${FETTLE_EMBED_BASE} ${path})
  file(SIZE ${path} size)
  file(SHA256 ${path} sha256)
  file(READ ${path} hex HEX)
  # Escaped byte by byte, in lines that compilers and readers get along with.
  string(REGEX REPLACE "(................................................................)"
                       "\\1\"\n    \"" hex "${hex}")
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "\\\\x\\1" hex "${hex}")
  string(APPEND texts "constexpr char text_${index}[] =\n    \"${hex}\";\n")
  string(APPEND rows "    {\"${name}\", {text_${index}, ${size}}, \"${sha256}\"},\n")
  math(EXPR index "${index} + 1")
endforeach()

file(WRITE ${FETTLE_EMBED_OUT}.new "// Written by compiler/source/embed.cmake.
#include \"compiler/source/embedded.h\"

#include <span>

#pragma GCC diagnostic ignored \"-Woverlength-strings\"

namespace fettle {

namespace {

${texts}
constexpr EmbeddedFile files[] = {
${rows}};

} // namespace

std::span<const EmbeddedFile> ${FETTLE_EMBED_SYMBOL}();

std::span<const EmbeddedFile> ${FETTLE_EMBED_SYMBOL}() { return files; }

} // namespace fettle
")
file(RENAME ${FETTLE_EMBED_OUT}.new ${FETTLE_EMBED_OUT})
