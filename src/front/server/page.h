// SPDX-License-Identifier: Apache-2.0
// The page's files: those built into the program, or those of a folder while the page is being worked on.
#pragma once

#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "front/server/http.h"

namespace fairlead {

class Page {
 public:
  virtual ~Page() = default;
  // The file for a path such as "/" or "/assets/index-3f2a.js"; nothing if there is none. Files below /assets carry
  // their hash in the name and never change; the others are asked for again each time (ETag).
  virtual std::optional<Response> Find(const RequestHead& head) const = 0;
};

// What was built into the program: web/dist, each file gzipped. If the page had not been built, one that says how.
std::unique_ptr<Page> BuiltInPage();

// The files of `folder` as they are at each request. A path that leaves the folder finds nothing.
std::unique_ptr<Page> PageOf(std::filesystem::path folder);

}  // namespace fairlead
