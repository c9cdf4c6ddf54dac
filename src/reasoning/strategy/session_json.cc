// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>
#include <string>
#include <utility>

#include "reasoning/strategy/ladder.h"

namespace fairlead {
namespace {

using Json = nlohmann::json;
constexpr std::array<const char*, 3> kNames = {"minutes", "contrast_ml", "kerma_mgy"};
constexpr std::size_t kMostTried = 32;

// Reads members and remembers the first fault.
class SessionReader {
 public:
  explicit SessionReader(const Json& json) : json_(json) {}

  Result<Session> Read() {
    Session session;
    OnlyKnown(json_, "the session", {"minutes", "contrast_ml", "kerma_mgy", "reserve", "used", "skills", "tried", "attempt", "closed"});
    session.limits.limit = Amounts(json_, "the session");
    session.limits.reserve = Amounts(Member("reserve"), "reserve");
    const auto used = Amounts(Member("used"), "used");
    for (std::size_t r = 0; r < used.size(); ++r) session.limits.used[r] = used[r].value_or(0.0);
    ReadSkills(session.skills);
    ReadRun(session.run);
    if (fault_) return *fault_;
    return session;
  }

 private:
  void Fail(std::string what, std::string where, std::string to_do) {
    if (!fault_) fault_ = Error{std::move(what), std::move(where), std::move(to_do)};
  }
  const Json& Member(const char* name) const {
    static const Json kNothing = Json::object();
    return json_.is_object() && json_.contains(name) && !json_[name].is_null() ? json_[name] : kNothing;
  }

  // A misspelt member would silently count as absent.
  void OnlyKnown(const Json& object, const std::string& where, std::initializer_list<const char*> known) {
    if (!object.is_object()) return Fail("an object is expected", where, "write {\"name\": value}");
    std::string names;
    for (const char* name : known) names += (names.empty() ? "" : ", ") + std::string(name);
    for (const auto& [name, value] : object.items()) {
      const bool found = std::ranges::any_of(known, [&id = name](const char* one) { return id == one; });
      if (!found && !name.starts_with('_')) Fail("there is nothing called \"" + CutText(name, 40) + "\"", where, "known are " + names);
    }
  }

  std::optional<double> Amount(const Json& object, const char* name, const std::string& where) {
    if (!object.is_object() || !object.contains(name) || object[name].is_null()) return std::nullopt;
    const Json& value = object[name];
    if (value.is_number() && value.get<double>() >= 0.0 && value.get<double>() <= 1e6) return value.get<double>();
    Fail(std::string(name) + " is not a number from 0 to 1,000,000", where, "correct it, or leave it out");
    return std::nullopt;
  }

  std::array<std::optional<double>, 3> Amounts(const Json& object, const std::string& where) {
    std::array<std::optional<double>, 3> amounts{};
    if (where != "the session") OnlyKnown(object, where, {"minutes", "contrast_ml", "kerma_mgy"});
    for (std::size_t r = 0; r < kNames.size(); ++r) amounts[r] = Amount(object, kNames[r], where);
    return amounts;
  }

  std::string Text(const Json& object, const char* name, const std::string& where) {
    if (!object.is_object() || !object.contains(name)) return {};
    if (object[name].is_string() && object[name].get_ref<const std::string&>().size() <= 64) return object[name].get<std::string>();
    Fail(std::string(name) + " is not a short text", where, "write it in quotes");
    return {};
  }

  bool Flag(const Json& object, const char* name, bool otherwise, const std::string& where) {
    if (!object.is_object() || !object.contains(name)) return otherwise;
    if (object[name].is_boolean()) return object[name].get<bool>();
    Fail(std::string(name) + " is neither true nor false", where, "write true or false");
    return otherwise;
  }

  void ReadSkills(Skills& skills) {
    const Json& own = Member("skills");
    OnlyKnown(own, "skills", {"dissection", "retrograde", "ultrasound", "ct"});
    skills.dissection = Flag(own, "dissection", skills.dissection, "skills");
    skills.retrograde = Flag(own, "retrograde", skills.retrograde, "skills");
    skills.ultrasound = Flag(own, "ultrasound", skills.ultrasound, "skills");
    skills.ct_done = Flag(own, "ct", skills.ct_done, "skills");
  }

  const Json& List(const char* name) {
    static const Json kNone = Json::array();
    if (!json_.is_object() || !json_.contains(name)) return kNone;
    if (json_[name].is_array() && json_[name].size() <= kMostTried) return json_[name];
    Fail(std::string(name) + " is not a list of at most 32", "the session", "write [ ... ]");
    return kNone;
  }

  void ReadRun(RunSoFar& run) {
    for (const Json& one : List("tried")) {
      OnlyKnown(one, "tried", {"strategy", "minutes", "closed"});
      run.tried.push_back({Text(one, "strategy", "tried"), Amount(one, "minutes", "tried").value_or(0.0), Flag(one, "closed", false, "tried")});
    }
    for (const Json& one : List("closed")) {
      if (one.is_string()) run.closed.push_back(CutText(one.get<std::string>(), 64));
      else Fail("a closed way is not a text", "closed", R"(write ["ADR"])");
    }
    const Json& attempt = Member("attempt");
    if (!attempt.is_object() || attempt.empty()) return;
    OnlyKnown(attempt, "attempt", {"strategy", "phase", "phase_min", "minutes"});
    run.attempt = Attempt{Text(attempt, "strategy", "attempt"), Text(attempt, "phase", "attempt"),
                          Amount(attempt, "phase_min", "attempt").value_or(0.0), Amount(attempt, "minutes", "attempt").value_or(0.0)};
  }

  const Json& json_;
  std::optional<Error> fault_;
};

}  // namespace

Result<Session> ParseSession(std::string_view text) {
  if (text.size() > 65536) return Error{"the text is larger than 64 KiB", "the session", "give less"};
  const Json json = Json::parse(text.begin(), text.end(), nullptr, false);
  if (json.is_discarded()) return Error{"the text is not JSON", "the session", "check brackets, quotes and commas"};
  return SessionReader(json).Read();
}

}  // namespace fairlead
