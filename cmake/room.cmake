# One room of the house: a static library with its own public headers.
#
#   room(gate SOURCES judge.cpp … USES plant catalogue PRIVATE_LIBS nlohmann_json::nlohmann_json)
#
# USES names the rooms whose headers this room may include; nothing else is on
# its include path, so an arrow that is not drawn does not compile.
add_library(platemark_flags INTERFACE)
target_compile_options(platemark_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wconversion -Werror
  # GCC 12 takes moved-from std::variant members for uninitialised ones when it
  # optimises; what it says is not so, and the sanitizer build looks for the real thing.
  $<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized>
  # The same compiler sees overlapping copies in "text" + std::string where there are none.
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict>
  # A verdict must replay to the last bit anywhere: no fused multiply-add, no
  # reordering, no machine-specific code.
  -ffp-contract=off)
if(PLATEMARK_SANITIZE)
  target_compile_options(platemark_flags INTERFACE -fsanitize=${PLATEMARK_SANITIZE} -fno-omit-frame-pointer -fno-sanitize-recover=all)
  target_link_options(platemark_flags INTERFACE -fsanitize=${PLATEMARK_SANITIZE})
endif()

function(room name)
  cmake_parse_arguments(ROOM "" "" "SOURCES;USES;PRIVATE_LIBS" ${ARGN})
  add_library(platemark_${name} STATIC ${ROOM_SOURCES})
  target_include_directories(platemark_${name} PUBLIC ${CMAKE_CURRENT_SOURCE_DIR}/include)
  target_link_libraries(platemark_${name} PRIVATE platemark_flags ${ROOM_PRIVATE_LIBS})
  foreach(used ${ROOM_USES})
    target_link_libraries(platemark_${name} PUBLIC platemark_${used})
  endforeach()
endfunction()

# The tests of one room: one doctest program, run as one ctest.
#
#   room_tests(gate SOURCES judge_test.cpp … USES gate)
function(room_tests name)
  cmake_parse_arguments(ROOM "" "" "SOURCES;USES;LIBS" ${ARGN})
  add_executable(test_${name} ${ROOM_SOURCES})
  target_link_libraries(test_${name} PRIVATE platemark_flags platemark_test_main ${ROOM_LIBS})
  foreach(used ${ROOM_USES})
    target_link_libraries(test_${name} PRIVATE platemark_${used})
  endforeach()
  target_compile_definitions(test_${name} PRIVATE PLATEMARK_TESTS_DIR="${CMAKE_SOURCE_DIR}/tests")
  add_test(NAME ${name} COMMAND test_${name})
endfunction()
