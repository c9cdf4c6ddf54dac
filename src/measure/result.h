// SPDX-License-Identifier: Apache-2.0
// A value, or one clear sentence about why there is none.
#pragma once

#include <cassert>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

namespace fairlead {

// Whose fault it is: decides the program's exit status and the HTTP status.
enum class Fault {
  kInput,    // what was given is wrong; exit 1, HTTP 400
  kUsage,    // the command line is wrong; exit 2
  kOutside,  // something outside failed (disk, network, database); exit 3, HTTP 503
};

// What is wrong, where it was found, and what the person may do about it. Each part is a clause without a full stop.
struct Error {
  std::string what;
  std::string where;
  std::string to_do;
  Fault fault = Fault::kInput;
};

// "what (where): to_do" with empty parts left out.
std::string Sentence(const Error& error);

// The same error, seen from one level further out: `outer` is put before `where`.
Error Within(std::string_view outer, Error error);

// Holds a T or an Error. `value()` on an error is a programmer's mistake and asserts.
template <typename T>
class [[nodiscard]] Result {
 public:
  Result(T value) : held_(std::in_place_index<0>, std::move(value)) {}      // NOLINT(google-explicit-constructor): return value;
  Result(Error error) : held_(std::in_place_index<1>, std::move(error)) {}  // NOLINT(google-explicit-constructor): return Error{...};
  bool ok() const { return held_.index() == 0; }
  explicit operator bool() const { return ok(); }
  T& value() & { assert(ok()); return *std::get_if<0>(&held_); }
  const T& value() const& { assert(ok()); return *std::get_if<0>(&held_); }
  T&& value() && { assert(ok()); return std::move(*std::get_if<0>(&held_)); }
  const Error& error() const { assert(!ok()); return *std::get_if<1>(&held_); }
  T* operator->() { return &value(); }
  const T* operator->() const { return &value(); }
  T& operator*() & { return value(); }
  const T& operator*() const& { return value(); }

 private:
  std::variant<T, Error> held_;
};

struct Done {};
using Status = Result<Done>;

}  // namespace fairlead
