// SPDX-License-Identifier: Apache-2.0
// The sentences of the ladder, as people read them and as the journal keeps them.
#pragma once

#include <string>
#include <vector>

#include "reasoning/strategy/panel.h"

namespace fairlead {

// "6 in 10"; "under 1 in 10", "over 9 in 10".
std::string InTens(double p);

// "after 25 more minutes RW/RDR no longer fits (15 to set up and at least 15 to work; minutes run out)".
std::string FitSentence(const Ladder& ladder, const FitView& fit, const Priors& priors);

// "ten more minutes, then change"; before an attempt "ten minutes of AW, then change". Only with an answer that has patience.
std::string MoreWords(const LadderAnswer& answer);

// "no clear difference", or which of the two ways on is likelier to finish, and by how much. Likewise.
std::string DifferenceSentence(const LadderAnswer& answer);

// What all of it rests on, in one sentence.
std::string AssumesSentence(const Ladder& ladder, const Priors& priors);

// Where nothing fits or nothing is worth starting: why. Empty where the plan has a rung.
std::string NothingSentence(const LadderAnswer& answer);

// What the facts say of the symptoms that would be left.
std::string SymptomsSentence(const Facts& facts);

// Whose figures these are: "published, not yours", "published and 41 attempts of your own, version ...".
std::string WhoseText(const Priors& priors);

// Of the attempt under way: "leaving AW makes no odds now, and for 12 more min". Empty without one.
std::string FlatSentence(const LadderAnswer& answer);

// What the patience strip says, a line each, beginning with "which way: ": for the journal.
std::vector<std::string> SaidLines(const LadderAnswer& answer);

}  // namespace fairlead
