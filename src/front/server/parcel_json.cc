// SPDX-License-Identifier: Apache-2.0
#include "front/server/parcel_json.h"

#include <fmt/core.h>

#include "front/server/json_text.h"

namespace fairlead {
namespace {

const char* CameWord(CarriedIn came) { return came == CarriedIn::kNew ? "new" : came == CarriedIn::kLonger ? "longer" : "there"; }

const char* LabWord(ParcelTaken::Lab lab) {
  switch (lab) {
    case ParcelTaken::Lab::kNone: return "none";
    case ParcelTaken::Lab::kTaken: return "taken";
    case ParcelTaken::Lab::kSame: return "same";
    case ParcelTaken::Lab::kOwnStays: return "own stays";
  }
  return "none";
}

}  // namespace

std::string TakenJson(const ParcelTaken& taken) {
  JsonText json;
  json.Open('{').Member("case", taken.case_id).Member("came", CameWord(taken.came)).Member("entries", taken.entries);
  json.Member("images", taken.images).Member("images_new", taken.images_new).Member("absent", taken.absent);
  json.Member("lab", LabWord(taken.lab)).Member("deidentified", taken.deidentified).Member("says", TakenText(taken));
  return json.Close('}').Take();
}

std::string TakenText(const ParcelTaken& taken) {
  std::string text = taken.came == CarriedIn::kThere ? fmt::format("the case {} was here already, nothing was changed", taken.case_id)
                     : fmt::format("{} {}: {} entries, {} images ({} of them new), every hash verified", taken.came == CarriedIn::kNew ? "taken in" : "brought up to date", taken.case_id, taken.entries, taken.images, taken.images_new);
  if (taken.absent > 0) text += fmt::format("; {} images were not with the sender any more", taken.absent);
  if (taken.lab == ParcelTaken::Lab::kTaken) text += "; this lab knew nothing yet and now knows what the sender's knew";
  if (taken.lab == ParcelTaken::Lab::kOwnStays) text += "; this lab's own shelf, limits and priors stay: what follows from them may differ from what the sender saw";
  return text;
}

}  // namespace fairlead
