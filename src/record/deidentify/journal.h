// SPDX-License-Identifier: Apache-2.0
// A case's journal that tells nothing of the patient nor of who wrote it: numbers, words of the dictionaries and times moved by the
// project's shift stay; everything that a person could type freely goes, or stays cleaned where it was written for teaching.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "casebook/entry.h"
#include "record/deidentify/image.h"
#include "record/deidentify/project.h"

namespace fairlead {

struct DeidEntry {
  Entry header;      // new id, case, times, writer; seq as it comes; hash and prev not filled
  std::string data;  // JSON
};

struct DeidJournal {
  std::string case_id;
  std::vector<DeidEntry> entries;
  std::map<std::string, std::size_t> removed;  // "remark of a run entry" -> how often
  std::vector<std::string> stayed{};           // ordinary words in what was kept that are names as well
  std::vector<std::string> taken_out;          // possible names in what was kept, as they were written: never to leave with it
};

struct DeidWords {
  bool keep_teaching = false;      // notes that begin with "lesson:", "speaker:" or "report:": kept, searched and cleaned
  std::vector<std::string> mask;   // names that must not appear in what is kept
  std::vector<std::string> keep_words{};  // may be names for all the program knows, and stay
};

// `entries` by seq, with their times of recording. `images` maps each image's hash to the hash of its de-identified file; one
// that is not in it has been left out, and what was measured on it keeps its value and loses its points.
DeidJournal DeidentifyJournal(const std::vector<Entry>& entries, const std::map<std::string, std::string>& images, const DeidWords& words, const DeidProject& project);

// --- Pictures that leave: only those that somebody has looked at.
// A note "mask: HASH none" says that nothing is written in the picture; "mask: HASH 0,0,200,40; 10,480,90,20" gives boxes
// (column, row, width, height). HASH is at least its first 12 digits; the last note of an image counts. Nothing for an image without one.
std::map<std::string, std::vector<MaskBox>> MasksOf(const std::vector<Entry>& standing_notes, const std::vector<std::string>& hashes);

}  // namespace fairlead
