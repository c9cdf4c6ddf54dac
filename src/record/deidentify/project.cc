// SPDX-License-Identifier: Apache-2.0
#include "record/deidentify/project.h"

#include <fmt/core.h>
#include <openssl/evp.h>
#include <openssl/hmac.h>

#include <algorithm>
#include <chrono>
#include <stdexcept>

#include "imaging/dicom/dataset.h"

namespace fairlead {

std::array<std::uint8_t, 32> KeyedDigest(std::string_view key, std::string_view text) {
  std::array<std::uint8_t, 32> digest{};
  unsigned int size = 0;
  const auto* made = HMAC(EVP_sha256(), key.data(), static_cast<int>(key.size()), reinterpret_cast<const unsigned char*>(text.data()), text.size(), digest.data(), &size);
  // A stand-in that is no stand-in would be worse than a stop.
  if (made == nullptr || size != digest.size()) throw std::runtime_error("HMAC-SHA-256 is not available from the system's OpenSSL");
  return digest;
}

std::string KeyedUid(const DeidProject& project, std::string_view uid) { return uid.empty() ? std::string() : UidOf(KeyedDigest(project.key, uid)); }

std::string KeyedTag(const DeidProject& project, std::string_view kind, std::string_view text) {
  const auto digest = KeyedDigest(project.key, std::string(kind) + "\n" + std::string(text));
  return fmt::format("{}-{:02x}{:02x}{:02x}", kind, digest[0], digest[1], digest[2]);
}

int ShiftOf_days(const DeidProject& project) {
  const auto digest = KeyedDigest(project.key, "days\n" + project.patient);
  const std::uint32_t drawn = static_cast<std::uint32_t>(digest[0]) << 24 | static_cast<std::uint32_t>(digest[1]) << 16 | static_cast<std::uint32_t>(digest[2]) << 8 | digest[3];
  return -1 - static_cast<int>(drawn % 365);
}

Instant Shifted(const DeidProject& project, Instant at) { return {at.ms + static_cast<std::int64_t>(ShiftOf_days(project)) * 24 * 3600 * 1000}; }

bool IsTimeOfDay(std::string_view text) {
  std::string digits;
  const std::size_t point = std::min(text.find('.'), text.size());
  for (const char c : text.substr(0, point))
    if (c != ':') digits += c;
  constexpr std::string_view kMost[] = {"23", "59", "60"};
  if (digits.size() > 6 || digits.size() % 2 != 0 || digits.find_first_not_of("0123456789") != std::string::npos) return false;
  for (std::size_t i = 0; i < digits.size(); i += 2)
    if (digits.substr(i, 2) > kMost[i / 2]) return false;
  const std::string_view fraction = text.substr(point);
  return fraction.empty() || (digits.size() == 6 && fraction.size() > 1 && fraction.size() <= 7 && fraction.find_first_not_of("0123456789", 1) == std::string_view::npos);
}

std::string ShiftedDicomDate(int days_moved, std::string_view text) {
  using namespace std::chrono;
  if (text.size() < 8 || !std::ranges::all_of(text.substr(0, 8), [](char c) { return c >= '0' && c <= '9'; })) return {};
  const auto number = [&](std::size_t at, std::size_t size) {
    int value = 0;
    for (const char c : text.substr(at, size)) value = value * 10 + (c - '0');
    return value;
  };
  const year_month_day day(year(number(0, 4)), month(static_cast<unsigned>(number(4, 2))), std::chrono::day(static_cast<unsigned>(number(6, 2))));
  const std::string_view rest = text.substr(8);
  const std::size_t zone = std::min(rest.find_first_of("+-"), rest.size());
  const bool a_zone = zone == rest.size() || (rest.size() - zone == 5 && IsTimeOfDay(rest.substr(zone + 1)));
  if (!day.ok() || !a_zone || !IsTimeOfDay(rest.substr(0, zone))) return {};
  const year_month_day moved{sys_days(day) + days(days_moved)};
  return fmt::format("{:04d}{:02d}{:02d}{}", static_cast<int>(moved.year()), static_cast<unsigned>(moved.month()), static_cast<unsigned>(moved.day()), rest);
}

}  // namespace fairlead
