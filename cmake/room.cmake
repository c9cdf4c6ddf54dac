# fairlead_room(imaging/dicom
#   DEPS    measure geometry          rooms, lowest first
#   LIBS    dcmdata                   libraries that only the .cc files see
#   HEADERS run.h                     the room's public declarations
#   SOURCES run.cc
#   TESTS   run_test.cc               in tests/imaging/dicom/, all in one test program
#   BENCH   decode_bench.cc           in bench/imaging/dicom/
#   FUZZ    fuzz_header.cc)           in fuzz/imaging/dicom/, one program each
# One static library a room, one test program a room. The target `checked` is every test program and fuzz target, without the
# program itself.
add_custom_target(checked)
function(fairlead_room room)
  cmake_parse_arguments(M "" "" "DEPS;LIBS;HEADERS;SOURCES;TESTS;TEST_LIBS;BENCH;BENCH_LIBS;FUZZ" ${ARGN})
  string(REPLACE "/" "_" name ${room})
  add_library(fl_${name} STATIC ${M_SOURCES})
  target_sources(fl_${name} PUBLIC FILE_SET HEADERS BASE_DIRS ${PROJECT_SOURCE_DIR}/src FILES ${M_HEADERS})
  foreach(dep IN LISTS M_DEPS)
    string(REPLACE "/" "_" dep_name ${dep})
    target_link_libraries(fl_${name} PUBLIC fl_${dep_name})
  endforeach()
  target_link_libraries(fl_${name} PRIVATE fairlead_flags ${M_LIBS})

  if(FAIRLEAD_TESTS AND M_TESTS)
    list(TRANSFORM M_TESTS PREPEND ${PROJECT_SOURCE_DIR}/tests/${room}/)
    add_executable(test_${name} ${M_TESTS})
    target_include_directories(test_${name} PRIVATE ${PROJECT_SOURCE_DIR})
    target_compile_definitions(test_${name} PRIVATE FAIRLEAD_TESTS_DIR="${PROJECT_SOURCE_DIR}/tests")
    # One precompiled header for all test programs: the lowest room's makes it.
    if(TARGET test_measure AND NOT name STREQUAL measure)
      target_precompile_headers(test_${name} REUSE_FROM test_measure)
    else()
      target_precompile_headers(test_${name} PRIVATE <gtest/gtest.h> <string> <vector>)
    endif()
    target_link_libraries(test_${name} PRIVATE fl_${name} fairlead_flags ${M_TEST_LIBS} GTest::gtest_main)
    add_dependencies(checked test_${name})
    add_test(NAME ${room} COMMAND test_${name})
    set_tests_properties(${room} PROPERTIES TIMEOUT 900)
  endif()
  if(FAIRLEAD_BENCH AND M_BENCH)
    list(TRANSFORM M_BENCH PREPEND ${PROJECT_SOURCE_DIR}/bench/${room}/)
    add_executable(bench_${name} ${M_BENCH})
    target_include_directories(bench_${name} PRIVATE ${PROJECT_SOURCE_DIR})
    target_compile_definitions(bench_${name} PRIVATE FAIRLEAD_TESTS_DIR="${PROJECT_SOURCE_DIR}/tests")
    target_link_libraries(bench_${name} PRIVATE fl_${name} fairlead_flags ${M_BENCH_LIBS} benchmark::benchmark_main)
  endif()
  if(FAIRLEAD_FUZZ)
    foreach(file IN LISTS M_FUZZ)
      cmake_path(GET file STEM stem)
      add_executable(${stem} ${PROJECT_SOURCE_DIR}/fuzz/${room}/${file})
      target_link_libraries(${stem} PRIVATE fl_${name} fairlead_flags)
      target_link_options(${stem} PRIVATE -fsanitize=fuzzer)
      add_dependencies(checked ${stem})
    endforeach()
  endif()
endfunction()
