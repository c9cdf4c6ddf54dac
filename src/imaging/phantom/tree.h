// SPDX-License-Identifier: Apache-2.0
// The two coronary trees of a right-dominant heart, without disease.
#pragma once

#include <string_view>
#include <vector>

#include "imaging/phantom/heart.h"
#include "imaging/phantom/random.h"
#include "imaging/phantom/scene.h"

namespace fairlead {

// Where the heart lies and how large it is, varied a little by the seed.
Heart VariedHeart(SeededRandom& random);

// Appends LM, LAD, LCX, D1, D2, S1 to S3, OM1, OM2. Returns the index of LM.
int AddLeftTree(const Heart& heart, SeededRandom& random, std::vector<Vessel>& vessels);

// Appends RCA, PDA, PL, conus and RV branches, and septals of the PDA. Returns the index of RCA.
int AddRightTree(const Heart& heart, SeededRandom& random, std::vector<Vessel>& vessels);

// -1 if there is none.
int FindVessel(const std::vector<Vessel>& vessels, std::string_view name);

// The node of a vessel nearest to a place on the heart.
std::size_t NearestNode(const Vessel& vessel, Vec3 to);

}  // namespace fairlead
