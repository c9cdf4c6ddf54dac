# One interface target carries every flag. Warnings become errors in the presets only, so that a stranger with a
# newer compiler can still build.
add_library(fairlead_flags INTERFACE)
target_compile_options(fairlead_flags INTERFACE
  -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wdouble-promotion -Wold-style-cast -Wnon-virtual-dtor
  -Woverloaded-virtual -Wimplicit-fallthrough -Wswitch-enum -Wundef -Wformat=2
  -ffp-contract=off
  $<$<CXX_COMPILER_ID:GNU>:-Wduplicated-cond -Wduplicated-branches -Wlogical-op -Wuseless-cast>)
