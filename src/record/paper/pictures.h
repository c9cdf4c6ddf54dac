// SPDX-License-Identifier: Apache-2.0
// Key pictures on paper: two beside each other, or one as wide as the paper; each stays on one page with its words. Inside this room only.
#pragma once

#include <vector>

#include "record/paper/canvas.h"
#include "record/picture/key_picture.h"

namespace fairlead {

void WritePictures(PaperCanvas& canvas, const std::vector<KeyPicture>& pictures);

}  // namespace fairlead
