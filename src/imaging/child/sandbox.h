// SPDX-License-Identifier: Apache-2.0
// The child's own fence: limits of the kernel, and a filter of system calls that leaves only memory, threads and the
// descriptors that are open already.
#pragma once

#include <cstddef>

#include "measure/result.h"

namespace fairlead {

struct Fence {
  std::size_t memory_bytes = 0;  // address space
  std::size_t output_bytes = 0;  // largest file that may be written
  unsigned cpu_seconds = 0;
};

// For the calling process, for good. With a sanitizer address space, descriptors and system calls stay free, because the
// sanitizer itself needs them (it looks at memory through pipes). Errors: a limit that the kernel refuses.
Status EncloseSelf(const Fence& fence);

}  // namespace fairlead
