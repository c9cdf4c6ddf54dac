// SPDX-License-Identifier: Apache-2.0
#include "imaging/child/report.h"

#include <algorithm>

namespace fairlead {
namespace {

constexpr std::size_t kLongestText = 400;
constexpr std::size_t kMostWaiting = 4096;

void PutWhole(std::vector<std::uint8_t>& message, std::uint32_t value, int bytes) {
  for (int i = 0; i < bytes; ++i) message.push_back(static_cast<std::uint8_t>(value >> (8 * i) & 0xFF));
}

std::uint32_t WholeAt(std::span<const std::uint8_t> bytes, std::size_t at, std::size_t count) {
  std::uint32_t value = 0;
  for (std::size_t i = 0; i < count; ++i) value |= static_cast<std::uint32_t>(bytes[at + i]) << (8 * i);
  return value;
}

}  // namespace

std::vector<std::uint8_t> ProgressMessage(int done, int all) {
  std::vector<std::uint8_t> message{'P'};
  PutWhole(message, static_cast<std::uint32_t>(done), 4);
  PutWhole(message, static_cast<std::uint32_t>(all), 4);
  return message;
}

std::vector<std::uint8_t> ErrorMessage(const Error& error) {
  std::vector<std::uint8_t> message{'E', static_cast<std::uint8_t>(error.fault == Fault::kOutside ? 1 : 0)};
  for (const std::string* text : {&error.what, &error.where, &error.to_do}) {
    const std::size_t length = std::min(text->size(), kLongestText);
    PutWhole(message, static_cast<std::uint32_t>(length), 2);
    message.insert(message.end(), text->begin(), text->begin() + static_cast<std::ptrdiff_t>(length));
  }
  return message;
}

std::vector<std::uint8_t> DoneMessage() { return {'D'}; }

void ReportReader::Add(std::span<const std::uint8_t> bytes) {
  waiting_.insert(waiting_.end(), bytes.begin(), bytes.end());
  while (!broken_ && !waiting_.empty() && TakeOne()) {
  }
  if (waiting_.size() > kMostWaiting) broken_ = true;
  if (broken_) waiting_.clear();
}

bool ReportReader::TakeOne() {
  constexpr std::size_t kProgress = 9;
  const std::uint8_t kind = waiting_.front();
  std::size_t size = 1;
  if (kind == 'P') {
    if (waiting_.size() < kProgress) return false;
    constexpr std::uint32_t kMost = 1'000'000;
    frames_ = static_cast<int>(std::min(WholeAt(waiting_, 5, 4), kMost));
    frames_done_ = std::min(static_cast<int>(std::min(WholeAt(waiting_, 1, 4), kMost)), frames_);
    size = kProgress;
  } else if (kind == 'E') {
    return TakeError();
  } else if (kind == 'D') {
    done_ = true;
  } else {
    broken_ = true;
    return false;
  }
  waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(size));
  return true;
}

bool ReportReader::TakeError() {
  std::size_t at = 2;
  Error error;
  for (std::string* text : {&error.what, &error.where, &error.to_do}) {
    if (at + 2 > waiting_.size()) return false;
    const std::size_t length = WholeAt(waiting_, at, 2);
    if (length > kLongestText) {
      broken_ = true;
      return false;
    }
    at += 2;
    if (at + length > waiting_.size()) return false;
    for (std::size_t i = 0; i < length; ++i) {
      const char c = static_cast<char>(waiting_[at + i]);
      text->push_back(c >= 0x20 && c <= 0x7E ? c : '?');
    }
    at += length;
  }
  error.fault = waiting_[1] == 1 ? Fault::kOutside : Fault::kInput;
  if (!error_) error_ = std::move(error);
  waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(at));
  return true;
}

}  // namespace fairlead
