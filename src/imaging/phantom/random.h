// SPDX-License-Identifier: Apache-2.0
// The seeded generator under the name that the phantoms know.
#pragma once

#include "measure/random.h"
