// SPDX-License-Identifier: Apache-2.0
#include "casebook/schema.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

TEST(DictionaryJson, TellsEveryRowWithTheMembersOfTheContract) {
  const auto told = nlohmann::json::parse(DictionaryJson());
  ASSERT_EQ(told["facts"].size(), Dictionary().size());
  for (const auto& row : told["facts"]) {
    for (const auto* member : {"name", "type", "group", "label", "unit", "grades", "may_be_unseen",
                               "may_be_not_determinable", "per_channel", "low", "high", "usual_spread", "definition",
                               "source"}) {
      EXPECT_TRUE(row.contains(member)) << row["name"] << " " << member;
    }
  }
}

TEST(FactsSchemaJson, NamesEveryFactAndRefusesOthers) {
  const auto schema = nlohmann::json::parse(FactsSchemaJson());
  EXPECT_EQ(schema["additionalProperties"], false);
  EXPECT_EQ(schema["properties"].size(), Dictionary().size() + 1);  // and "channels"
  for (const auto& row : Dictionary()) {
    EXPECT_TRUE(schema["properties"][std::string(row.name)].contains("anyOf")) << row.name;
  }
}

TEST(SourcesJson, TellsEverySource) {
  EXPECT_EQ(nlohmann::json::parse(SourcesJson())["sources"].size(), AllSources().size());
}

}  // namespace
}  // namespace fairlead
