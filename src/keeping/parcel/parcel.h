// SPDX-License-Identifier: Apache-2.0
// A whole case as one portable folder, or as one file of the same contents: its journal, what the lab knew, and every image that
// it names by hash. What comes in is verified whole before anything is written. docs/parcel-format.md describes it for a stranger.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "keeping/images/files.h"
#include "keeping/journal/carry.h"
#include "keeping/parcel/manifest.h"
#include "measure/result.h"

namespace fairlead {

// --- Out.
struct PackedImage {
  std::string name;            // "images/<hash>.dcm"
  std::filesystem::path file;  // its bytes give that hash
};

struct ParcelContents {
  CarriedChain chain;
  std::optional<CarriedChain> lab;
  std::vector<PackedImage> images;
  std::vector<std::string> absent;  // hashes that the journal names and nobody has any more
  std::string program;
  bool deidentified = false;
  std::string readme;               // for people; ours if empty
  std::string removed;              // of a de-identified case: the list of what went; "removed.txt"
};

// Hashes of the images that a chain's entries name, each once, sorted.
std::vector<std::string> ImagesNamed(const CarriedChain& chain);

// `data` is the folder of `journal`. Who the case is about (beside the chain) stays at home.
Result<ParcelContents> GatherCase(const Journal& journal, const std::filesystem::path& data, const std::string& case_id, const std::string& program);

struct Packed {
  std::size_t files = 0, images = 0, absent = 0;
  std::uint64_t bytes = 0;
};
// Into a folder that is not there yet; it has its name only once it is whole. Errors: it is there; the disk; a stored image that is damaged.
Result<Packed> PackFolder(const ParcelContents& contents, const std::filesystem::path& folder);
Result<Packed> PackArchive(const ParcelContents& contents, TemporaryFile& archive);

// --- In. Where a parcel's files are read from.
class ParcelSource {
 public:
  virtual ~ParcelSource() = default;
  // Names and sizes of everything that is there. Errors: a link, a folder that no parcel has, too many files.
  virtual Result<std::vector<std::pair<std::string, std::uint64_t>>> List() = 0;
  // Its bytes in pieces. `name` is one of List.
  virtual Status Read(const std::string& name, const std::function<Status(std::span<const std::uint8_t>)>& take) = 0;
};
// A folder, or an archive. Links are not followed, at no level.
Result<std::unique_ptr<ParcelSource>> OpenParcel(const std::filesystem::path& path);
Result<std::unique_ptr<ParcelSource>> OpenArchive(std::shared_ptr<const void> keep, std::span<const std::uint8_t> bytes);

struct ParcelRead {
  Manifest manifest;
  CarriedChain chain;
  std::optional<CarriedChain> lab;
};
// Reads and verifies everything but the images' bytes. Errors: whatever is not exactly what was exported.
Result<ParcelRead> ReadParcel(ParcelSource& source, Instant now);

struct ParcelTaken {
  std::string case_id;
  std::int64_t entries = 0;
  CarriedIn came = CarriedIn::kNew;
  std::size_t images = 0, images_new = 0, absent = 0;
  enum class Lab { kNone, kTaken, kSame, kOwnStays } lab = Lab::kNone;
  bool deidentified = false;
};
// How the caller lets chains into its journal: CarryIn, under whatever lock it keeps. Asked to look first, then to write.
using CarryDoor = std::function<Result<std::vector<CarriedIn>>(const std::vector<const CarriedChain*>& chains, bool only_look)>;

// Verifies every byte, then writes: all of it or nothing (a power cut may leave images that no case names).
Result<ParcelTaken> TakeParcel(ParcelSource& source, const CarryDoor& carry_in, const std::filesystem::path& data, Instant now);

}  // namespace fairlead
