// SPDX-License-Identifier: Apache-2.0
#include "casebook/schema.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <memory>
#include <nlohmann/json.hpp>

#include "casebook/fact_json.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;

TEST(DictionaryJson, TellsEveryRowWithTheMembersOfTheContract) {
  const auto told = Json::parse(DictionaryJson());
  ASSERT_EQ(told["facts"].size(), Dictionary().size());
  for (const auto& row : told["facts"]) {
    for (const auto* member :
         {"name", "type", "group", "label", "unit", "grades", "may_be_unseen", "may_be_not_determinable", "per_channel",
          "low", "high", "usual_spread", "definition", "source"}) {
      EXPECT_TRUE(row.contains(member)) << row["name"] << " " << member;
    }
  }
}

TEST(FactsSchemaJson, NamesEveryFactAndRefusesOthers) {
  const auto schema = Json::parse(FactsSchemaJson());
  EXPECT_EQ(schema["additionalProperties"], false);
  EXPECT_EQ(schema["properties"].size(), Dictionary().size() + 1);  // and "channels"
  for (const auto& row : Dictionary()) {
    EXPECT_TRUE(schema["properties"][std::string(row.name)].contains("anyOf")) << row.name;
  }
}

// Files on both sides of every limit that a schema can state.
std::vector<std::string> FilesToJudge() {
  std::vector<std::string> files{"{}",
                                 "[]",
                                 R"({"_about": "invented"})",
                                 R"({"no_such_fact": 1})",
                                 R"({"channels": null})",
                                 R"({"channels": {"c1": {"collateral_channel": "septal", "_note": "x"}}})",
                                 R"({"channels": {"c1": {"age_years": 70}}})",
                                 R"({"channels": {"c 1": {}}})",
                                 R"({"channels": []})"};
  const std::vector<std::string> values{"null",
                                        "true",
                                        "0.5",
                                        "1.5",
                                        "-1",
                                        "19",
                                        "2",
                                        "1e6",
                                        "\"unseen\"",
                                        "\"not determinable\"",
                                        "\"blunt\"",
                                        "\"2\"",
                                        "\"septal\"",
                                        "[]",
                                        "[10, {\"value\": 10, \"sd\": 1}]",
                                        "[\"unseen\"]",
                                        "{}",
                                        R"({"value": 10})",
                                        R"({"value": 10, "sd": 1})",
                                        R"({"value": 10, "sd": -1})",
                                        R"({"sd": 1})",
                                        R"({"value": 10, "unit": "mm"})",
                                        R"({"blunt": 1})",
                                        R"({"blunt": 2})"};
  for (const auto& row : Dictionary()) {
    for (const auto& value : values) files.push_back("{\"" + std::string(row.name) + "\": " + value + "}");
  }
  return files;
}

TEST(FactsSchemaJson, TakesTheSameFilesAsTheParser) {
  const auto files = FilesToJudge();
  Json given{{"schema", Json::parse(FactsSchemaJson())}, {"files", Json::array()}};
  for (const auto& file : files) given["files"].push_back(Json::parse(file));
  const auto path = std::filesystem::temp_directory_path() / ("fairlead-schema-" + std::to_string(getpid()) + ".json");
  std::ofstream(path) << given.dump();
  const std::string command = "python3 " FAIRLEAD_TESTS_DIR "/casebook/check_schema.py < " + path.string();
  std::string text(1U << 20U, '\0');
  {
    const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), pclose);
    text.resize(std::fread(text.data(), 1, text.size(), pipe.get()));
  }
  std::filesystem::remove(path);
  const auto judged = Json::parse(text, nullptr, false);
  ASSERT_EQ(judged.size(), files.size()) << "python3-jsonschema is needed";
  int taken = 0;
  for (std::size_t i = 0; i < files.size(); ++i) {
    EXPECT_EQ(judged[i].get<bool>(), ParseFacts(files[i]).ok()) << files[i];
    taken += judged[i].get<bool>() ? 1 : 0;
  }
  EXPECT_GT(taken, static_cast<int>(Dictionary().size()));
}

TEST(SourcesJson, TellsEverySource) {
  EXPECT_EQ(Json::parse(SourcesJson())["sources"].size(), AllSources().size());
}

}  // namespace
}  // namespace fairlead
