// SPDX-License-Identifier: Apache-2.0
// The registry's tables, format after format. A format that was ever released is never changed: the next one brings it
// forward. Plain SQL that SQLite 3.40 and PostgreSQL 15 both take. Inside this room only.
#pragma once

#include <array>
#include <span>

namespace fairlead {

inline constexpr const char* kRegistryFormat1[] = {
    "CREATE TABLE registry_meta (name TEXT PRIMARY KEY, value TEXT NOT NULL)",
    ("CREATE TABLE registry_row (lab TEXT NOT NULL, id TEXT NOT NULL, version BIGINT NOT NULL, began BIGINT NOT NULL, "
     "body TEXT NOT NULL, PRIMARY KEY (lab, id))"),
    "CREATE TABLE registry_outgoing (number BIGINT PRIMARY KEY, lab TEXT NOT NULL, id TEXT NOT NULL)",
};

// Format 2: the sums.
inline constexpr const char* kRegistryFormat2[] = {
    "CREATE TABLE registry_sum (lab TEXT NOT NULL, by_whom TEXT NOT NULL, year BIGINT NOT NULL, vessel TEXT NOT NULL, "
    "strategy TEXT NOT NULL, difficulty BIGINT NOT NULL, cases BIGINT NOT NULL, outcomes BIGINT NOT NULL, "
    "successes BIGINT NOT NULL, complication_entries BIGINT NOT NULL, complications BIGINT NOT NULL, "
    "PRIMARY KEY (lab, by_whom, year, vessel, strategy, difficulty))",
};

// Format 3: what an audit reads in place of the rows.
inline constexpr const char* kRegistryFormat3[] = {
    "CREATE TABLE registry_month (lab TEXT NOT NULL, month BIGINT NOT NULL, sums TEXT NOT NULL, PRIMARY KEY (lab, month))",
    ("CREATE TABLE registry_day (lab TEXT NOT NULL, day BIGINT NOT NULL, letters TEXT NOT NULL, ids TEXT NOT NULL, body TEXT NOT NULL, "
     "PRIMARY KEY (lab, day))"),
};

// Format 4: what a plan is compared with past cases by, apart from the rest so that nothing else is read for it.
inline constexpr const char* kRegistryFormat4[] = {
    "CREATE TABLE registry_known (lab TEXT NOT NULL, day BIGINT NOT NULL, body TEXT NOT NULL, PRIMARY KEY (lab, day))",
};

inline constexpr std::array<std::span<const char* const>, 4> kRegistryFormats = {std::span<const char* const>(kRegistryFormat1), std::span<const char* const>(kRegistryFormat2),
                                                                                 std::span<const char* const>(kRegistryFormat3), std::span<const char* const>(kRegistryFormat4)};

}  // namespace fairlead
