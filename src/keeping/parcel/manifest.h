// SPDX-License-Identifier: Apache-2.0
// The texts of a parcel: its manifest and its chains, one entry a line. Hostile texts are expected. docs/parcel-format.md.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "keeping/journal/carry.h"
#include "measure/result.h"

namespace fairlead {

inline constexpr std::size_t kLongestManifest = 4 * 1024 * 1024;    // bytes; chosen: 20 000 files
inline constexpr std::size_t kMostParcelFiles = 10'000;             // chosen
inline constexpr std::uint64_t kLargestChain = 512ULL << 20;        // bytes of one chain's text; chosen
inline constexpr std::uint64_t kLargestParcelFile = 2ULL << 30;     // bytes of one image; chosen

struct ParcelFile {
  std::string path;       // "journal.jsonl", "lab.jsonl", "removed.txt", "images/<hash>.dcm" or ".png": nothing else is a name here
  std::uint64_t bytes = 0;
  std::string sha256;     // 64 small hexadecimal digits
};

struct Manifest {
  std::string case_id;
  std::int64_t entries = 0;
  std::string head;                  // hash of the last entry
  std::string program;               // that wrote it
  bool deidentified = false;
  std::vector<ParcelFile> files;
  std::vector<std::string> absent;   // hashes of images that the journal names and the sender no longer had
};

std::string ManifestText(const Manifest& manifest);
// Errors: not the text of a manifest; of a newer program; a name that is not one of those above, or one twice; too many or too
// large files; an image whose name is not its hash.
Result<Manifest> ReadManifest(std::string_view text);

std::string ChainText(const CarriedChain& chain);
// Errors name the line. The chain is not checked yet: see CheckCarried.
Result<CarriedChain> ReadChainText(std::string_view text, const std::string& case_id);

// "images/<64 hex>.dcm" or ".png".
bool IsImageName(std::string_view path);

}  // namespace fairlead
