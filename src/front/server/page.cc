// SPDX-License-Identifier: Apache-2.0
#include "front/server/page.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iterator>

#include "front/server/page_files.h"

namespace fairlead {
namespace {

constexpr std::string_view kNotBuilt =
    "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Fairlead</title><h1>Fairlead</h1>"
    "<p>The engine runs, but its page was not built into this program. Run <code>./run</code> at the top of the "
    "source, or <code>scripts/page</code> and then build the program again.</p></html>";

std::string_view TypeOf(std::string_view path) {
  struct Ending {
    std::string_view ending, type;
  };
  static constexpr std::array<Ending, 10> kTypes = {{{".html", "text/html; charset=utf-8"},
                                                     {".js", "text/javascript; charset=utf-8"},
                                                     {".css", "text/css; charset=utf-8"},
                                                     {".svg", "image/svg+xml"},
                                                     {".png", "image/png"},
                                                     {".ico", "image/x-icon"},
                                                     {".json", "application/json"},
                                                     {".woff2", "font/woff2"},
                                                     {".wasm", "application/wasm"},
                                                     {".txt", "text/plain; charset=utf-8"}}};
  for (const auto& [ending, type] : kTypes) {
    if (path.ends_with(ending)) return type;
  }
  return "application/octet-stream";
}

std::string_view FileOf(std::string_view path) { return path == "/" ? "/index.html" : path; }

class BuiltIn : public Page {
 public:
  std::optional<Response> Find(const RequestHead& head) const override {
    const std::string_view path = FileOf(head.path);
    const auto files = PageFiles();
    if (files.empty() && path == "/index.html") {
      return Response{.type = "text/html; charset=utf-8", .text = std::string(kNotBuilt)};
    }
    const auto file = std::find_if(files.begin(), files.end(), [&](const PageFile& f) { return f.path == path; });
    if (file == files.end()) return std::nullopt;
    const std::string tag = "\"" + std::string(file->tag) + "\"";
    const bool fixed = path.starts_with("/assets/");
    Response response{.type = std::string(TypeOf(path))};
    response.headers = {{"ETag", tag}, {"Cache-Control", fixed ? "public, max-age=31536000, immutable" : "no-cache"}};
    if (head.if_none_match == tag) {
      response.status = 304;
      return response;
    }
    response.headers.emplace_back("Content-Encoding", "gzip");
    response.bytes = file->gzipped;
    return response;
  }
};

class OfFolder : public Page {
 public:
  explicit OfFolder(std::filesystem::path folder) : folder_(std::move(folder)) {}

  std::optional<Response> Find(const RequestHead& head) const override {
    const std::filesystem::path inside = std::filesystem::path(FileOf(head.path)).relative_path();
    std::error_code code;
    const auto root = std::filesystem::canonical(folder_, code);
    if (code) return std::nullopt;
    const auto file = std::filesystem::canonical(root / inside, code);  // also follows links
    if (code || !std::filesystem::is_regular_file(file, code)) return std::nullopt;
    if (std::mismatch(root.begin(), root.end(), file.begin(), file.end()).first != root.end()) return std::nullopt;
    std::ifstream stream(file, std::ios::binary);
    Response response{.type = std::string(TypeOf(file.native()))};
    response.headers = {{"Cache-Control", "no-cache"}};
    response.text.assign(std::istreambuf_iterator<char>(stream), {});
    return response;
  }

 private:
  std::filesystem::path folder_;
};

}  // namespace

std::unique_ptr<Page> BuiltInPage() { return std::make_unique<BuiltIn>(); }
std::unique_ptr<Page> PageOf(std::filesystem::path folder) { return std::make_unique<OfFolder>(std::move(folder)); }

}  // namespace fairlead
