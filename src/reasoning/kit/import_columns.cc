// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/import_columns.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

using enum SizeUnit;

constexpr auto kFields = std::to_array<Field>({
    {"id", nullptr, &Device::id}, {"name", nullptr, &Device::name}, {"label", nullptr, &Device::label},
    {"class"}, {"count"}, {"lot"}, {"expires"}, {"place"}, {"tip_load"},
    {"gtin", nullptr, &Device::gtin}, {"coating", nullptr, &Device::coating}, {"note", nullptr, &Device::note},
    {"od_prox", &Device::od_prox, nullptr, kMillimetre, true}, {"od_dist", &Device::od_dist, nullptr, kMillimetre, true},
    {"profile", &Device::profile, nullptr, kMillimetre, true}, {"minor", &Device::minor},
    {"lumen", &Device::lumen, nullptr, kMillimetre, true}, {"collar", &Device::collar}, {"tip_od", &Device::tip_od},
    {"usable", &Device::usable, nullptr, kCentimetre}, {"seg", &Device::segment, nullptr, kCentimetre},
    {"offset", &Device::offset}, {"nom_diam", &Device::nominal}, {"nom_len", &Device::nominal_length},
    {"need_lumen", &Device::need_lumen}, {"wire", &Device::wire, nullptr, kInch}, {"tip", &Device::tip, nullptr, kInch},
});

struct Alias {
  std::string_view word, field;
};

// Headings that labs write, in our plain form.
constexpr auto kAliases = std::to_array<Alias>({
    {"device", "name"}, {"item", "name"}, {"product", "name"}, {"description", "name"}, {"bezeichnung", "name"}, {"nom", "name"},
    {"type", "class"}, {"category", "class"}, {"kind", "class"}, {"klasse", "class"}, {"classe", "class"},
    {"size", "label"}, {"ref", "id"}, {"reference", "id"}, {"catalogue_number", "id"}, {"code", "id"},
    {"od", "od_prox"}, {"outer_diameter", "od_prox"}, {"outer", "od_prox"}, {"proximal_od", "od_prox"}, {"proximal_outer_diameter", "od_prox"},
    {"shaft", "od_prox"}, {"proximal_shaft", "od_prox"}, {"distal_od", "od_dist"}, {"distal_outer_diameter", "od_dist"},
    {"distal_shaft", "od_dist"}, {"crossing_profile", "profile"}, {"profil", "profile"}, {"id_lumen", "lumen"},
    {"inner_diameter", "lumen"}, {"inner", "lumen"}, {"inner_lumen", "lumen"}, {"lichtung", "lumen"}, {"lumen_interne", "lumen"},
    {"collar_lumen", "collar"}, {"tip_outer_diameter", "tip_od"}, {"entry_profile", "tip_od"},
    {"length", "usable"}, {"usable_length", "usable"}, {"working_length", "usable"}, {"länge", "usable"}, {"longueur", "usable"},
    {"monorail", "seg"}, {"tunnel", "seg"}, {"segment", "seg"}, {"tip_to_element", "offset"},
    {"nominal_diameter", "nom_diam"}, {"balloon_diameter", "nom_diam"}, {"diameter", "nom_diam"}, {"loop", "nom_diam"},
    {"nominal_length", "nom_len"}, {"balloon_length", "nom_len"}, {"stent_length", "nom_len"},
    {"min_guide_lumen", "need_lumen"}, {"host_lumen", "need_lumen"}, {"minimum_host_lumen", "need_lumen"},
    {"wire_diameter", "wire"}, {"max_wire", "wire"}, {"max_guidewire", "wire"}, {"wire_shaft", "wire"},
    {"tip_diameter", "tip"}, {"tip_load_gf", "tip_load"}, {"tip_load_g", "tip_load"}, {"load", "tip_load"}, {"load_gf", "tip_load"},
    {"quantity", "count"}, {"qty", "count"}, {"stock", "count"}, {"menge", "count"}, {"quantité", "count"}, {"anzahl", "count"},
    {"batch", "lot"}, {"charge", "lot"}, {"expiry", "expires"}, {"expiry_date", "expires"}, {"expiration", "expires"},
    {"expiration_date", "expires"}, {"use_by", "expires"}, {"verfall", "expires"}, {"péremption", "expires"},
    {"location", "place"}, {"shelf", "place"}, {"room", "place"}, {"udi", "gtin"}, {"udi_di", "gtin"},
    {"comment", "note"}, {"remarks", "note"},
});

struct UnitTail {
  std::string_view tail;
  SizeUnit unit;
};
constexpr auto kTails = std::to_array<UnitTail>({{"_mm", kMillimetre}, {"_cm", kCentimetre}, {"_inches", kInch}, {"_inch", kInch},
                                                 {"_in", kInch}, {"_french", kFrench}, {"_fr", kFrench}, {"_f", kFrench},
                                                 {"_ch", kFrench}});

// Lower case; brackets, blanks and points become single underscores.
std::string Plain(std::string_view heading) {
  std::string plain;
  for (const char c : heading) {
    const char low = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    const bool gap = std::string_view(" ()[]{}.,:/-_\t").find(low) != std::string_view::npos;
    if (!gap) plain += low;
    else if (!plain.empty() && plain.back() != '_') plain += '_';
  }
  while (!plain.empty() && plain.back() == '_') plain.pop_back();
  return plain;
}

const Field* Named(std::string_view plain) {
  const auto alias = std::ranges::find(kAliases, plain, &Alias::word);
  if (alias != kAliases.end()) plain = alias->field;
  const auto field = std::ranges::find(kFields, plain, &Field::name);
  return field == kFields.end() ? nullptr : &*field;
}

}  // namespace

Heading ReadHeading(std::string_view heading) {
  const std::string plain = Plain(heading);
  if (const Field* whole = Named(plain)) return {whole, std::nullopt};
  for (const UnitTail& tail : kTails) {
    if (!plain.ends_with(tail.tail)) continue;
    std::string_view stem(plain);
    stem.remove_suffix(tail.tail.size());
    // "ID" alone is the catalogue's number; with a unit it is the inner diameter.
    if (const Field* field = Named(stem == "id" ? "lumen" : stem)) return {field, tail.unit};
  }
  return {};
}

}  // namespace fairlead
