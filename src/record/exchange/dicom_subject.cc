// SPDX-License-Identifier: Apache-2.0
#include "record/exchange/dicom_subject.h"

namespace fairlead {

void PutSubject(DataSet& set, const Report& report) {
  set.Text(0x00100010, "PN", report.invented ? "INVENTED^CASE" : "");
  set.Text(0x00100020, "LO", report.case_id);  // of the case: no number of a person is known
  set.Text(0x00100030, "DA", "");
  set.Text(0x00100040, "CS", "");
}

}  // namespace fairlead
