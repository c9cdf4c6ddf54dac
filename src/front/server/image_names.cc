// SPDX-License-Identifier: Apache-2.0
// The unique identifiers of stored runs. Like the rebuilding without names this reads elements of files that the child has read before.
#include <fcntl.h>

#include "casebook/fact_pictures.h"
#include "front/server/report_pictures.h"
#include "imaging/dicom/elements.h"
#include "keeping/images/files.h"
#include "keeping/images/stored.h"

namespace fairlead {
namespace {

std::optional<SrImage> NamesIn(const std::filesystem::path& stored, int frames) {
  const Descriptor file(open(stored.c_str(), O_RDONLY | O_CLOEXEC));
  if (!file.ok()) return std::nullopt;
  auto mapped = MappedFile::Map(file.get());
  if (!mapped.ok()) return std::nullopt;
  auto read = ParseDicom((*mapped)->bytes());
  if (!read.ok()) return std::nullopt;
  SrImage image{TextOf(read->dataset, 0x00080016), TextOf(read->dataset, 0x00080018), TextOf(read->dataset, 0x0020000D), TextOf(read->dataset, 0x0020000E), frames};
  for (const std::string* uid : {&image.class_uid, &image.instance_uid, &image.study_uid, &image.series_uid})
    if (uid->empty() || uid->size() > 64 || uid->find_first_not_of("0123456789.") != std::string::npos) return std::nullopt;
  return image;
}

}  // namespace

SrImages NamesOfImages(const State& state, const std::filesystem::path& data) {
  SrImages names;
  for (const auto& [key, facts] : state.facts) {
    const FactStated* fact = StandingFact(state, key);
    if (fact == nullptr || (fact->origin.points.empty() && fact->origin.views.empty())) continue;
    for (const std::string& hash : ImagesBehind(fact->origin)) {
      const auto image = state.images.find(hash);
      const std::filesystem::path stored = StoredImage(data, hash);
      if (names.contains(hash) || stored.extension() != ".dcm" || image == state.images.end() || image->second.added.empty()) continue;
      const auto* added = std::get_if<ImageAdded>(&state.entries[image->second.added.front()].data);
      if (auto found = NamesIn(stored, added == nullptr ? 1 : added->frames)) names[hash] = std::move(*found);
    }
  }
  return names;
}

}  // namespace fairlead
