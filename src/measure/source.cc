// SPDX-License-Identifier: Apache-2.0
#include "measure/source.h"

#include <algorithm>
#include <array>

namespace fairlead {
namespace {

using enum SourceKind;
using enum Checked;

// Sorted by id, so that a double entry shows.
constexpr auto kSources = std::to_array<Source>({
    {"adherence-2026", kArticle, "Am J Cardiol 2026, adherence to the global algorithm, 13,852 cases", "",
     kSeen, "abstract: success where the first strategy followed the algorithm and where not"},
    {"aki-2004", kArticle, "J Am Coll Cardiol 2004;44:1393-1399", "10.1016/j.jacc.2004.06.068",
     kSeen, "abstract; points read in a later article, sub-definitions and middle rates from memory"},
    {"aki-2021", kArticle, "Lancet 2021;398:1974-1983", "10.1016/S0140-6736(21)02326-6",
     kSeen, "abstract, first half; point table not readable, so no total is computed"},
    {"angina-class-1976", kArticle, "Circulation 1976;54:522-523", "",
     kMemory, "grading of effort angina, classes 1 to 4"},
    {"arc2-2018", kArticle, "Eur Heart J 2018;39:2192-2207", "",
     kMemory, "thresholds of troponin after coronary intervention"},
    {"asia-pacific-2017", kArticle, "JACC Cardiovasc Interv 2017;10:2135-2143", "",
     kSeen, "abstract: the three questions, length not by itself; stop numbers and details from memory"},
    {"b-cto-2017", kArticle, "Cardiology 2017, single-centre score of 438 patients (supplementary record "
     "figshare 4626157)", "",
     kSeen, "abstract: points, groups and success of each"},
    {"castle-2019", kArticle, "JACC Cardiovasc Interv 2019;12:335-342", "10.1016/j.jcin.2018.11.020",
     kSeen, "abstract: items, failure at totals 0-1 and 4 or more"},
    {"castle-ct-2022", kArticle, "BMC Cardiovasc Disord 2022", "10.1186/s12872-022-02627-4",
     kSeen, "abstract: the same items read on CT"},
    {"castle-external-2019", kArticle, "EuroIntervention", "10.4244/EIJ-D-19-00352",
     kSeen, "abstract: CASTLE and J-CTO compared in 660 cases"},
    {"cc-2003", kArticle, "Circulation 2003;107:1972-1977", "",
     kMemory, "collateral connection grades 0 to 2"},
    {"ccd-1994-catheter-filling", kArticle, "Cathet Cardiovasc Diagn 1994;33:55-60", "10.1002/ccd.1810330115", kSeen,
     "57 guide catheters read -8.9 to +4 % with water and -15.5 to -3.9 % with contrast: calibrate empty"},
    {"ccd-1994-catheter-label", kArticle, "Cathet Cardiovasc Diagn 1994;33:153-155", "10.1002/ccd.1810330214", kSeen,
     "measured outer diameters of catheters of one labelled size differ by 0.02 to 0.03 mm and lie below the label"},
    {"channel-score-validation", kArticle, "Validation of a size and tortuosity score of collateral channels, "
     "2017-2021 cohort of 329 channels", "",
     kSeen, "abstract in an index copy; journal not readable; item weights not readable"},
    {"ckd-epi-2021", kArticle, "N Engl J Med 2021;385:1737-1749", "10.1056/NEJMoa2102953",
     kMemory, "estimated glomerular filtration rate from creatinine, age and sex"},
    {"cl-2015", kArticle, "JACC Cardiovasc Interv 2015;8:1540-1548", "10.1016/j.jcin.2015.07.009",
     kSeen, "abstract, first half; points and rates from memory"},
    {"complications-2016", kArticle, "J Am Heart Assoc 2016;5:e004272", "10.1161/JAHA.116.004272",
     kSeen, "abstract: points, groups and rates"},
    {"complications-2022", kArticle, "JACC Cardiovasc Interv 2022;15:1413-1422", "",
     kSeen, "abstract, last lines cut; 10,480 cases"},
    {"complications-2022-death", kArticle, "J Am Coll Cardiol and Circulation conference abstracts of the 2022 "
     "complication scores: death", "",
     kSeen, "odds ratios, range of risk, bootstrap c"},
    {"complications-2022-mace", kArticle, "J Am Coll Cardiol conference abstract of the 2022 complication "
     "scores: MACE", "",
     kSeen, "odds ratios, range of risk, bootstrap c"},
    {"complications-2022-pericardiocentesis", kArticle, "J Am Coll Cardiol conference abstract of the 2022 "
     "complication scores: pericardiocentesis", "",
     kSeen, "odds ratios, range of risk; 7,672 cases without previous bypass surgery"},
    {"complications-2022-pooled", kArticle, "Int J Cardiol 2022, pooled external validation of the 2022 "
     "complication scores (PubMed 36565956)", "",
     kSeen, "abstract: MACE at each total, 4,569 patients"},
    {"ct-cto-2015", kArticle, "JACC Cardiovasc Imaging 2015, CT features of chronic against subtotal occlusion", "",
     kSeen, "abstract: 553 arteries"},
    {"ct-rector-2015", kArticle, "JACC Cardiovasc Imaging 2015;8:257-267", "10.1016/j.jcmg.2014.07.031",
     kMemory, "items, groups and rates recalled"},
    {"cto-arc-2021", kArticle, "Circulation 2021;143:479-500", "10.1161/CIRCULATIONAHA.120.046754",
     kSeen, "abstract only; the wording of its certainty classes from memory"},
    {"cto-consensus-2007", kArticle, "EuroIntervention 2007;3:30-43", "",
     kMemory, "certainty of three months: certain, likely, undetermined"},
    {"cto-pathway-2024", kArticle, "EuroIntervention 2024;20:e174-e184", "10.4244/EIJ-D-23-00749",
     kSeen, "abstract: history, stress test or imaging, then selection; an effect on hard events stays unproven"},
    {"ctoabcde-2020", kArticle, "Rev Port Cardiol 2020;39:575-582", "10.1016/j.repc.2020.05.007",
     kSeen, "abstract; points of the items not readable"},
    {"ercto-retrograde-2023", kArticle, "J Invasive Cardiol 2023;35:E294-E296", "10.25270/jic/23.00036",
     kSeen, "abstract; points not readable"},
    {"european-consensus-2019", kArticle, "EuroIntervention 2012;8:139-145 and 2019;15:198-208", "10.4244/EIJ-D-18-00826",
     kMemory, "existence and scope read; order of techniques from memory"},
    {"experience-2023", kArticle, "Cardiol J 2023;30:506-515", "",
     kSeen, "part of the abstract; items not readable"},
    {"failures-2019", kArticle, "Catheter Cardiovasc Interv 2019;93:1033-1038", "",
     kSeen, "abstract: where antegrade and retrograde attempts failed, 497 occlusions"},
    {"global-2021", kArticle, "J Am Coll Cardiol 2021;78:840-853", "10.1016/j.jacc.2021.05.055",
     kSeen, "abstract: ten steps; branches below them from memory"},
    {"hybrid-2012", kArticle, "JACC Cardiovasc Interv 2012;5:367-379", "",
     kMemory, "four questions to the angiogram; figure legends read in later open articles"},
    {"hybrid-registry-2018", kArticle, "JACC Cardiovasc Interv 2018;11:1325-1335", "",
     kSeen, "abstract: 3,122 cases; success, time, contrast, air kerma"},
    {"invest-radiol-2001-catheter", kArticle, "Invest Radiol 2001;36:705-712", "10.1097/00004424-200112000-00005", kSeen,
     "low-opacity catheters read +0.4 to +1.0 % with contrast and -9.9 to -12.4 % without: calibrate filled"},
    {"investment-2020", kArticle, "Catheter Cardiovasc Interv 2020, modification of the plaque without success, a multicentre registry", "",
     kSeen, "abstract, cut before the result by interval: later success 83 %"},
    {"ivus-cto-2023", kArticle, "Front Cardiovasc Med 2023;10:1199067", "10.3389/fcvm.2023.1199067",
     kSeen, "abstract: what ultrasound tells in crossing; signs of each space from memory"},
    {"j-channel-2020", kArticle, "EuroIntervention, channel score of 886 channels", "10.4244/EIJ-D-18-00993",
     kSeen, "abstract: items and success of each group; points and limits of the groups not readable"},
    {"j-cto-2011", kArticle, "JACC Cardiovasc Interv 2011;4:213-221", "10.1016/j.jcin.2010.09.024",
     kSeen, "abstract, first half; items and rounded derivation rates read in a teaching page that cites it; "
     "decimals and validation column from memory"},
    {"j-cto-ct-2015", kArticle, "J Cardiovasc Comput Tomogr 2015", "10.1016/j.jcct.2015.07.005",
     kSeen, "abstract: items, agreement with the angiographic score"},
    {"j-cto-hybrid-2015", kArticle, "Circ Cardiovasc Interv 2015 (PMC4503382)", "",
     kSeen, "abstract: 657 lesions, odds ratio of failure 2.04 a point"},
    {"japan-2019", kArticle, "J Am Coll Cardiol 2019;74:2392-2404", "",
     kMemory, "branches from memory; predictors of failure read in the abstract of its data"},
    {"japan-times-2019", kArticle, "Eur Heart J 2019;40(Suppl):P5750", "",
     kSeen, "abstract: wire times of 5,843 cases, 2014 to 2017"},
    {"jr-cto-2024", kArticle, "JACC Cardiovasc Interv 2024 (PubMed 38703149)", "",
     kSeen, "abstract: items and points, c-statistics; rates of each total not readable"},
    {"kcct-2017", kArticle, "Circ Cardiovasc Imaging 2017;10:e005800", "10.1161/CIRCIMAGING.116.005800",
     kSeen, "abstract: items; one point each and two CT definitions from memory"},
    {"mi-definition-2021", kArticle, "Eur Heart J 2021 (PMC7850039)", "",
     kSeen, "abstract: troponin after elective intervention against outcome"},
    {"open-clean-2022", kArticle, "Catheter Cardiovasc Interv 2022;99:280-285", "",
     kSeen, "abstract, end cut; cut points of length and age from memory"},
    {"open-clean-external-2023", kArticle, "Am J Cardiol 2023, external validation of the OPEN-CLEAN score", "",
     kSeen, "abstract: perforation at each total, 2,270 patients"},
    {"operator-cto-2021", kArticle, "J Interv Cardiol 2021:9988943", "",
     kSeen, "abstract; items not readable"},
    {"ora-2016", kArticle, "JACC Cardiovasc Interv 2016;9:911-922", "10.1016/j.jcin.2016.01.024",
     kSeen, "summary: items, points and groups; rates not readable"},
    {"perforation-1994", kArticle, "Circulation 1994;90:2725-2730", "",
     kSeen, "classes of perforation, read in a teaching item that cites it"},
    {"perforation-2023", kArticle, "EuroIntervention 2023;18:1022-1030", "10.4244/EIJ-D-22-00593",
     kSeen, "abstract: points and odds ratios, 9,618 cases; rates of each total not readable"},
    {"plos-2021", kArticle, "PLoS One 2021", "10.1371/journal.pone.0245898",
     kSeen, "abstract: five scores in 1,342 cases of a national registry with learning operators"},
    {"practice", kPractice, "practice, no source", "", kMemory, "a habit of the trade, kept as a setting"},
    {"progress-cto-2016", kArticle, "JACC Cardiovasc Interv 2016;9:1-9", "10.1016/j.jcin.2015.09.022",
     kSeen, "abstract: items and coefficients; intercept and rates not readable"},
    {"progress-external-2016", kArticle, "Int J Cardiol 2016;224:50-56", "10.1016/j.ijcard.2016.08.317",
     kSeen, "abstract: three scores in 664 cases"},
    {"r-icps-2022", kArticle, "J Invasive Cardiol 2022;34:E286-E293", "10.25270/jic/21.00211",
     kSeen, "abstract: findings for and against crossing; points not readable"},
    {"reattempt-2022", kArticle, "JACC Cardiovasc Interv 2022;15, second attempts at one centre, 208 patients", "",
     kSeen, "abstract: later success by what the first attempt left behind"},
    {"recharge-2018", kArticle, "Catheter Cardiovasc Interv 2018;91:192-202", "10.1002/ccd.27092",
     kMemory, "items recalled; rates not readable"},
    {"recharge-cases-2016", kArticle, "J Am Coll Cardiol 2016;68:1958-1970", "",
     kSeen, "abstract: 1,253 cases; success of the first strategy and of bail-out strategies"},
    {"rentrop-1985", kArticle, "J Am Coll Cardiol 1985;5:587-592", "",
     kSeen, "filling grades 0 to 3, read in a teaching page that cites it"},
    {"retrograde-2020", kArticle, "EuroIntervention 2020, retrograde 1,515 against antegrade 2,686 cases", "10.4244/EIJ-D-19-00441",
     kSeen, "abstract: complications by approach"},
    {"retrograde-primary-2022", kArticle, "Catheter Cardiovasc Interv 2022, primary retrograde strategy, 1,329 cases", "",
     kSeen, "abstract: first and final success, collaterals of successes and failures"},
    {"revascularisation-2018", kArticle, "Eur Heart J 2019;40:87-165", "10.1093/eurheartj/ehy394",
     kMemory, "angina resistant to drugs or a large proven ischaemic area: class IIa, level B (wording read in a "
     "secondary summary)"},
    {"reverse-cart-terms", kArticle, "EuroIntervention, consensus on the terms of reverse controlled tracking", "10.4244/EIJ-D-17-00867",
     kSeen, "abstract: the conventional, directed and extended variants; sizes are practice"},
    {"segments-2005", kArticle, "EuroIntervention 2005;1:219-227", "",
     kSeen, "numbers and extents of coronary segments, read in secondary reproductions"},
    {"survival-benefit-2020", kArticle, "J Clin Med 2020;9:1319", "",
     kSeen, "title only; content not readable"},
    {"timi-1985", kArticle, "N Engl J Med 1985;312:932-936", "",
     kMemory, "grades of antegrade flow 0 to 3"},
    {"w-cto-2018", kArticle, "AsiaIntervention 2018;4:18-25 (PMC9706745)", "",
     kSeen, "abstract: items, coefficients, points, rates of each group; volume and pages from memory"},
});

}  // namespace

std::span<const Source> AllSources() { return kSources; }

const Source* FindSource(std::string_view id) {
  const auto found = std::ranges::find(kSources, id, &Source::id);
  return found == kSources.end() ? nullptr : &*found;
}

}  // namespace fairlead
