// SPDX-License-Identifier: Apache-2.0
// What commands print: tables for people, one sentence for an error; and Ctrl-C as a stop.
#pragma once

#include <memory>
#include <stop_token>
#include <string>
#include <string_view>
#include <vector>

#include "measure/result.h"

namespace fairlead {

// Columns aligned by characters, two blanks between; the last column is not padded. The first row is the heading.
std::string Table(const std::vector<std::vector<std::string>>& rows);

void Print(std::string_view text);  // to standard output, with a line end

// "fairlead: SENTENCE" on standard error; gives the exit status of the error's fault.
int Fail(const Error& error);

// While it lives, SIGINT and SIGTERM request the stop instead of ending the program.
class Interrupt {
 public:
  virtual ~Interrupt() = default;
  virtual std::stop_token token() const = 0;
};
std::unique_ptr<Interrupt> TakeInterrupts();

// The whole of a file; "-" is standard input. Errors: no such file, more than 16 MiB.
Result<std::string> ReadText(const std::string& path);

}  // namespace fairlead
