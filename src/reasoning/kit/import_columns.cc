// SPDX-License-Identifier: Apache-2.0
#include "reasoning/kit/import_columns.h"

#include <algorithm>
#include <array>

#include "reasoning/kit/plain_word.h"

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
    {"length", "usable"}, {"usable_length", "usable"}, {"working_length", "usable"}, {"lange", "usable"}, {"longueur", "usable"},
    {"monorail", "seg"}, {"tunnel", "seg"}, {"segment", "seg"}, {"tip_to_element", "offset"},
    {"nominal_diameter", "nom_diam"}, {"balloon_diameter", "nom_diam"}, {"diameter", "nom_diam"}, {"loop", "nom_diam"},
    {"nominal_length", "nom_len"}, {"balloon_length", "nom_len"}, {"stent_length", "nom_len"},
    {"min_guide_lumen", "need_lumen"}, {"host_lumen", "need_lumen"}, {"minimum_host_lumen", "need_lumen"},
    {"wire_diameter", "wire"}, {"max_wire", "wire"}, {"max_guidewire", "wire"}, {"wire_shaft", "wire"},
    {"tip_diameter", "tip"}, {"tip_load_gf", "tip_load"}, {"tip_load_g", "tip_load"}, {"load", "tip_load"}, {"load_gf", "tip_load"},
    {"quantity", "count"}, {"qty", "count"}, {"stock", "count"}, {"menge", "count"}, {"quantite", "count"}, {"anzahl", "count"},
    {"batch", "lot"}, {"charge", "lot"}, {"expiry", "expires"}, {"expiry_date", "expires"}, {"expiration", "expires"},
    {"expiration_date", "expires"}, {"use_by", "expires"}, {"verfall", "expires"}, {"peremption", "expires"},
    {"location", "place"}, {"shelf", "place"}, {"room", "place"}, {"udi", "gtin"}, {"udi_di", "gtin"},
    {"comment", "note"}, {"remarks", "note"}, {"bemerkung", "note"}, {"remarque", "note"}, {"hinweis", "note"},
    {"artikel", "name"}, {"produkt", "name"}, {"designation", "name"}, {"libelle", "name"}, {"produit", "name"}, {"dispositif", "name"},
    {"descripcion", "name"}, {"nome", "name"}, {"descrizione", "name"}, {"device_name", "name"}, {"item_name", "name"},
    {"product_name", "name"}, {"device_class", "class"}, {"device_type", "class"}, {"art", "class"}, {"categorie", "class"}, {"tipo", "class"},
    {"artikelnummer", "id"}, {"taille", "label"}, {"grosse", "label"}, {"printed_size", "label"},
    {"outer_diam", "od_prox"}, {"outside_diameter", "od_prox"}, {"outer_dia", "od_prox"}, {"aussendurchmesser", "od_prox"}, {"ad", "od_prox"},
    {"diametre_externe", "od_prox"}, {"diametre_exterieur", "od_prox"}, {"diam_ext", "od_prox"}, {"diametro_externo", "od_prox"},
    {"diametro_esterno", "od_prox"}, {"od_proximal", "od_prox"}, {"shaft_od", "od_prox"}, {"od_distal", "od_dist"},
    {"inner_diam", "lumen"}, {"inside_diameter", "lumen"}, {"inner_dia", "lumen"}, {"innendurchmesser", "lumen"}, {"innenlumen", "lumen"},
    {"diametre_interne", "lumen"}, {"diametre_interieur", "lumen"}, {"diam_int", "lumen"}, {"diametro_interno", "lumen"}, {"lumiere", "lumen"},
    {"usable_len", "usable"}, {"effective_length", "usable"}, {"nutzlange", "usable"}, {"longueur_utile", "usable"}, {"longitud", "usable"},
    {"lunghezza", "usable"}, {"crossing", "profile"}, {"entry_profile_mm", "tip_od"}, {"tip_entry", "tip_od"},
    {"ballondurchmesser", "nom_diam"}, {"nenndurchmesser", "nom_diam"}, {"diametre_nominal", "nom_diam"}, {"longueur_nominale", "nom_len"},
    {"tip_force", "tip_load"}, {"spitzenlast", "tip_load"}, {"bestand", "count"}, {"stuck", "count"}, {"in_stock", "count"}, {"on_hand", "count"},
    {"cantidad", "count"}, {"quantita", "count"}, {"nombre_en_stock", "count"}, {"lot_number", "lot"}, {"lot_no", "lot"}, {"batch_number", "lot"},
    {"lote", "lot"}, {"lotto", "lot"}, {"exp", "expires"}, {"exp_date", "expires"}, {"verfallsdatum", "expires"}, {"ablaufdatum", "expires"},
    {"date_de_peremption", "expires"}, {"date_d_expiration", "expires"}, {"caducidad", "expires"}, {"scadenza", "expires"},
    {"ort", "place"}, {"lagerort", "place"}, {"emplacement", "place"}, {"drawer", "place"}, {"schrank", "place"}, {"ean", "gtin"},
});

struct UnitTail {
  std::string_view tail;
  SizeUnit unit;
};
constexpr auto kTails = std::to_array<UnitTail>({{"_mm", kMillimetre}, {"_cm", kCentimetre}, {"_inches", kInch}, {"_inch", kInch},
                                                 {"_in", kInch}, {"_zoll", kInch}, {"_pouces", kInch}, {"_pouce", kInch}, {"_french", kFrench}, {"_fr", kFrench}, {"_f", kFrench},
                                                 {"_ch", kFrench}, {"_charr", kFrench}});

const Field* Named(std::string_view plain) {
  const auto alias = std::ranges::find(kAliases, plain, &Alias::word);
  if (alias != kAliases.end()) plain = alias->field;
  const auto field = std::ranges::find(kFields, plain, &Field::name);
  return field == kFields.end() ? nullptr : &*field;
}

// "Ø ext. distal", "outer diameter (proximal shaft)": which side of which wall, by its words alone.
const Field* BySides(std::string_view plain) {
  constexpr auto kOuter = std::to_array<std::string_view>({"od", "outer", "outside", "ext", "externe", "exterieur", "aussen", "externo", "esterno"});
  constexpr auto kInner = std::to_array<std::string_view>({"inner", "inside", "int", "interne", "interieur", "innen", "interno", "lumen"});
  bool outer = false, inner = false, far = false;
  std::size_t words = 0;
  for (std::size_t at = 0; at < plain.size(); ++words) {
    const auto end = std::min(plain.find('_', at), plain.size());
    const std::string_view word = plain.substr(at, end - at);
    outer = outer || std::ranges::find(kOuter, word) != kOuter.end();
    inner = inner || std::ranges::find(kInner, word) != kInner.end();
    far = far || word.starts_with("dist");
    at = end + 1;
  }
  if (words > 5 || outer == inner) return nullptr;
  return Named(inner ? "lumen" : far ? "od_dist" : "od_prox");
}

}  // namespace

Heading ReadHeading(std::string_view heading) {
  const std::string plain = PlainWord(heading);
  if (const Field* whole = Named(plain)) return {whole, std::nullopt};
  std::optional<SizeUnit> unit;
  std::string_view bare(plain);
  for (const UnitTail& tail : kTails) {
    if (!plain.ends_with(tail.tail)) continue;
    std::string_view stem(plain);
    stem.remove_suffix(tail.tail.size());
    // "ID" alone is the catalogue's number; with a unit it is the inner diameter.
    if (const Field* field = Named(stem == "id" ? "lumen" : stem)) return {field, tail.unit};
    if (!unit) { unit = tail.unit; bare = stem; }
  }
  return {BySides(bare), unit};
}

}  // namespace fairlead
