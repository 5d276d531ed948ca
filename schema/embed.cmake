# Turn schema/*.sql into one C file: the numbered steps in their order, the starter library and the example shop.
#   cmake -DOUT=schema_files.c "-DFILES=a.sql;b.sql" -P embed.cmake
# The build stops if a step is missing, doubled or misnamed: a shop file of version N has had steps 1 to N.
cmake_minimum_required(VERSION 3.25)

function(bytes_of file result)
  file(READ "${file}" hex HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${hex}")
  string(REGEX REPLACE "(............................................................)" "\\1\n" bytes "${bytes}")
  set(${result} "${bytes}0x00" PARENT_SCOPE)
endfunction()

list(SORT FILES)
set(arrays "")
set(rows "")
set(count 0)
set(starter "")
set(example "")
foreach(file IN LISTS FILES)
  get_filename_component(name "${file}" NAME)
  bytes_of("${file}" bytes)
  if(name MATCHES "^([0-9][0-9][0-9][0-9])_[a-z0-9_]+\\.sql$")
    math(EXPR expected "${count} + 1")
    string(REGEX REPLACE "^0+" "" number "${CMAKE_MATCH_1}")
    if(NOT number STREQUAL expected)
      message(FATAL_ERROR "schema/${name}: the step with number ${expected} should come here; steps are numbered "
                          "0001, 0002, ... without a gap and without doubles")
    endif()
    set(count ${expected})
    string(APPEND arrays "static const unsigned char step_${number}[] = {\n${bytes}};\n")
    string(APPEND rows "    {${number}, \"${name}\", step_${number}},\n")
  elseif(name STREQUAL "starter.sql" OR name STREQUAL "example.sql")
    get_filename_component(word "${name}" NAME_WE)
    set(${word} "${bytes}")
  else()
    message(FATAL_ERROR "schema/${name}: a file here is a step like 0002_what_it_adds.sql, starter.sql or example.sql")
  endif()
endforeach()
if(count EQUAL 0 OR starter STREQUAL "" OR example STREQUAL "")
  message(FATAL_ERROR "schema: 0001_*.sql, starter.sql and example.sql must all be there")
endif()

file(WRITE "${OUT}" "/* Made by schema/embed.cmake from the steps beside it: do not edit. */
#include \"store/inside.h\"

${arrays}
const struct sg_step sg_schema_steps[] = {
${rows}};
const int sg_schema_n_steps = ${count};
const unsigned char sg_schema_starter[] = {
${starter}};
const unsigned char sg_schema_example[] = {
${example}};
")
