// SPDX-License-Identifier: Apache-2.0
// An archive from anywhere: its members, its manifest, its chains. The first byte says which of them the rest is.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string_view>

#include "keeping/parcel/manifest.h"
#include "keeping/parcel/parcel.h"
#include "keeping/parcel/tar.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
  constexpr fairlead::Instant kNow{1'800'000'000'000};
  if (data[0] == 'm') {
    const auto manifest = fairlead::ReadManifest(text);
    if (manifest.ok() && !fairlead::ReadManifest(fairlead::ManifestText(*manifest)).ok()) std::abort();
  } else if (data[0] == 'c') {
    const auto chain = fairlead::ReadChainText(text, "case");
    if (!chain.ok()) return 0;
    (void)fairlead::CheckCarried(*chain, kNow);
    (void)fairlead::ImagesNamed(*chain);
    const auto again = fairlead::ReadChainText(fairlead::ChainText(*chain), "case");
    if (!again.ok() || again->entries.size() != chain->entries.size()) std::abort();
  } else {
    const auto source = fairlead::OpenArchive(nullptr, {data + 1, size - 1});
    if (source.ok()) (void)fairlead::ReadParcel(**source, kNow);
  }
  return 0;
}
