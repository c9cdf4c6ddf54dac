// SPDX-License-Identifier: Apache-2.0
// Key pictures on paper: two beside each other, or one as wide as the paper; each stays on one page with its words. Inside this room only.
#pragma once

#include <vector>

#include "record/paper/canvas.h"
#include "record/picture/key_picture.h"

namespace fairlead {

// Of the first row with its words, points: a head above it stays on its page.
double FirstPicturesHeight(PaperCanvas& canvas, const std::vector<KeyPicture>& pictures);

void WritePictures(PaperCanvas& canvas, const std::vector<KeyPicture>& pictures);

}  // namespace fairlead
