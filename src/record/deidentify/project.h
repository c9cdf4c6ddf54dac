// SPDX-License-Identifier: Apache-2.0
// What makes one project's pseudonyms: a secret key, and what follows from it. The same thing has the same stand-in within a
// project, so that images, doses and journals still join; without the key nobody finds the way back. Destroy it to cut the link.
#pragma once

#include <array>
#include <cstdint>
#include <string>
#include <string_view>

#include "measure/instant.h"

namespace fairlead {

struct DeidProject {
  std::string key;      // secret bytes, any number; 32 from the system's generator are usual
  std::string patient;  // whose dates are shifted together: the case's id
};

// HMAC-SHA-256 (RFC 2104, FIPS 198-1).
std::array<std::uint8_t, 32> KeyedDigest(std::string_view key, std::string_view text);

// "2.25." and the first 16 bytes of the keyed digest as a version 8 UUID (RFC 9562); DICOM PS3.5 B.2. Empty stays empty.
std::string KeyedUid(const DeidProject& project, std::string_view uid);

// "device-3f29ab": kind and the first six hexadecimal digits of the keyed digest.
std::string KeyedTag(const DeidProject& project, std::string_view kind, std::string_view text);

// One secret whole number of days for each patient, -365 to -1; times of day stay.
int ShiftOf_days(const DeidProject& project);
Instant Shifted(const DeidProject& project, Instant at);
// "0640", "064000.25" or "06:40:00": a time of day (PS3.5 6.2) and nothing else that is digits. Empty is one too.
bool IsTimeOfDay(std::string_view text);
// "20260917" or "20260917064000.5+0200" moved by the shift; empty for a partial date or none.
std::string ShiftedDicomDate(int days, std::string_view text);

}  // namespace fairlead
