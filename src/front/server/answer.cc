// SPDX-License-Identifier: Apache-2.0
#include "front/server/answer.h"

#include "front/server/json_text.h"

namespace fairlead {

Response Refusal(int status, const Error& error) {
  JsonText json;
  json.Open('{').Key("error").Open('{');
  json.Member("what", error.what).Member("where", error.where).Member("to_do", error.to_do);
  json.Close('}').Close('}');
  Response response = Json(json.Take());
  response.status = status;
  return response;
}

Response Refusal(const Error& error) { return Refusal(error.fault == Fault::kOutside ? 503 : 400, error); }

Response Json(std::string text) {
  Response response;
  response.headers = {{"Cache-Control", "no-store"}};
  response.text = std::move(text);
  return response;
}

}  // namespace fairlead
