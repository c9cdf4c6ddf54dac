// SPDX-License-Identifier: Apache-2.0
// A case made ready to leave without telling who it is about: journal rewritten, pictures rebuilt and masked, a list of what went.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "casebook/entry.h"
#include "keeping/images/images.h"
#include "keeping/parcel/parcel.h"
#include "measure/result.h"
#include "record/deidentify/image.h"

namespace fairlead {

struct DeidSettings {
  std::string project = "default";  // small letters, digits and -; its key is kept in DATA/projects
  std::vector<std::string> mask;    // names that must not appear in teaching notes
  bool keep_teaching = false;
  std::vector<std::string> keep_words;  // may be names for all the program knows, and stay in teaching notes
};

struct DeidCase {
  ParcelContents contents;                 // its images are files that live as long as `files`
  std::vector<TemporaryFile> files;
  std::size_t images_left_out = 0;         // nobody has looked at them, or they cannot be rewritten
  std::vector<std::string> stayed{};       // ordinary words in kept notes that are names as well, and leave
  std::vector<std::string> taken_out;      // possible names in kept notes: for whoever makes it, in none of its files
};

// `entries` of a case as they stand in the journal. Makes the project's key where there is none. Errors: the project's name; the
// disk; what the image store says of a picture that leaves.
Result<DeidCase> DeidentifyCase(const std::vector<Entry>& entries, ImageStore& images, const std::filesystem::path& data, const DeidSettings& settings, const std::string& program);

// Where somebody should look before a run leaves: {"images": [{hash, label, frames, looked, boxes, suspect, why}], "perhaps_names":
// [words of teaching notes that will be taken out as possible names], "stay": [words of them that stay, and are names as well]}.
std::string LookJson(const std::vector<Entry>& entries, ImageStore& images);

}  // namespace fairlead
