// SPDX-License-Identifier: Apache-2.0
// Whole cases in and out, and facts from another system, over HTTP.
#pragma once

#include <memory>
#include <span>

#include "front/server/routes.h"

namespace fairlead {

std::span<const Route> ParcelRoutes();  // a whole case in or out
std::span<const Route> FhirRoutes();    // facts from another system

// Takes the file of POST /api/cases/import.
std::unique_ptr<BodySink> TakeParcelUpload(App& app, Response& refusal);

}  // namespace fairlead
