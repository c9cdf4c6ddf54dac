// SPDX-License-Identifier: Apache-2.0
#include "measure/source.h"

#include <gtest/gtest.h>

#include <algorithm>

namespace fairlead {
namespace {

TEST(Sources, AreSortedAndComplete) {
  const auto all = AllSources();
  EXPECT_TRUE(std::ranges::is_sorted(all, {}, &Source::id));
  EXPECT_EQ(std::ranges::adjacent_find(all, {}, &Source::id), all.end()) << "an id stands twice";
  for (const Source& source : all) {
    EXPECT_FALSE(source.citation.empty()) << source.id;
    if (source.kind == SourceKind::kArticle) {
      // Where year and pages could not be read, the DOI must say where to look.
      const bool dated = source.citation.find_first_of("0123456789") != std::string_view::npos;
      EXPECT_TRUE(dated || !source.doi.empty()) << source.id << " has neither a year nor a DOI";
    }
  }
}

TEST(Sources, AreFoundById) {
  ASSERT_NE(FindSource("practice"), nullptr);
  EXPECT_EQ(FindSource("practice")->kind, SourceKind::kPractice);
  EXPECT_EQ(FindSource("no-such-source"), nullptr);
}

}  // namespace
}  // namespace fairlead
