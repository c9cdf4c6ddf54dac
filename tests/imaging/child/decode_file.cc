// SPDX-License-Identifier: Apache-2.0
// For the comparison with other readers: decode_file OUT FILE...  reads each file in a child, prints one line of JSON
// or `refused: sentence`, and leaves the frames of the last file in OUT (`-` for nowhere).
#include <fcntl.h>
#include <sys/mman.h>

#include <cstdio>
#include <span>
#include <string_view>

#include "imaging/child/decode.h"
#include "imaging/dicom/run_json.h"

namespace {

bool Save(const fairlead::DecodedRun& decoded, const char* path) {
  const std::size_t size = FrameBytes(decoded.run) * static_cast<std::size_t>(decoded.run.frames);
  void* bytes = mmap(nullptr, size, PROT_READ, MAP_PRIVATE, decoded.frames.get(), 0);
  if (bytes == MAP_FAILED) return false;
  std::FILE* file = std::fopen(path, "wb");
  const bool wrote = file != nullptr && std::fwrite(bytes, 1, size, file) == size;
  return file != nullptr && std::fclose(file) == 0 && wrote;
}

}  // namespace

int main(int argc, char** argv) {
  const std::span arguments(argv, static_cast<std::size_t>(argc));
  if (argc > 1 && std::string_view(arguments[1]) == "_decode") return fairlead::DecodeMain();
  if (argc < 3) return 2;
  for (const char* path : arguments.subspan(2)) {
    const fairlead::Descriptor file(open(path, O_RDONLY | O_CLOEXEC));
    const auto decoded = fairlead::DecodeInChild(file.get(), {}, {}, {}, {});
    if (!decoded) {
      std::printf("refused: %s\n", fairlead::Sentence(decoded.error()).c_str());
    } else {
      if (std::string_view(arguments[1]) != "-" && !Save(*decoded, arguments[1])) return 3;
      std::printf("%s\n", fairlead::RunJson(decoded->run).c_str());
    }
    std::fflush(stdout);
  }
  return 0;
}
