# One interface target carries every flag. Warnings become errors in the presets only, so that a stranger with a
# newer compiler can still build.
add_library(fairlead_flags INTERFACE)
target_compile_options(fairlead_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wdouble-promotion -Wold-style-cast -Wnon-virtual-dtor
  -Woverloaded-virtual -Wimplicit-fallthrough -Wswitch-enum -Wundef -Wformat=2
  -ffp-contract=off
  # gcc 12 sees overlaps in std::string::operator+ that are not there (its bug 105651): -Wno-restrict.
  $<$<CXX_COMPILER_ID:GNU>:-Wno-restrict -Wduplicated-cond -Wduplicated-branches -Wlogical-op -Wuseless-cast>)
