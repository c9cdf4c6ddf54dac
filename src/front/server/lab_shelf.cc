// SPDX-License-Identifier: Apache-2.0
#include "front/server/lab_shelf.h"

#include <string_view>

#include "reasoning/kit/kit_json.h"

namespace fairlead {
namespace {

constexpr std::size_t kPartBytes = 400 * 1024;  // below what an entry of knowledge may hold; chosen

}  // namespace

Result<Shelf> ShelfOf(const Knowledge& knowledge) {
  const KnowledgeText* first = FindKnowledge(knowledge, ShelfPartName(0));
  if (first == nullptr) return InventedShelf();
  std::vector<std::string_view> parts{first->text};
  const std::size_t count = ShelfPartCount(first->text);
  for (std::size_t part = 1; part < count; ++part) {
    const KnowledgeText* next = FindKnowledge(knowledge, ShelfPartName(part));
    if (next == nullptr) return Error{"a part of the lab's shelf is missing", ShelfPartName(part), "import the list again"};
    parts.push_back(next->text);
  }
  return ShelfFromParts(parts);
}

std::vector<KnowledgeWritten> ShelfWritten(const Shelf& shelf, const std::string& owner, const std::string& version) {
  std::vector<KnowledgeWritten> written;
  for (std::string& text : ShelfParts(shelf, kPartBytes, version)) {
    written.push_back({.name = ShelfPartName(written.size()), .owner = owner, .version = version, .text = std::move(text)});
  }
  return written;
}

}  // namespace fairlead
