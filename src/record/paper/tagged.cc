// SPDX-License-Identifier: Apache-2.0
// ISO 32000-1: 14.7.1 (MarkInfo), 14.9.2 (Lang), 14.9.3 (Alt), 12.2 (DisplayDocTitle).
#include "record/paper/tagged.h"

#include <exception>
#include <qpdf/QPDF.hh>
#include <qpdf/QPDFWriter.hh>

namespace fairlead {
namespace {

constexpr int kDeepest = 32;  // the tree that is written here has 4

void NameFigures(QPDFObjectHandle element, const std::vector<std::string>& figures, std::size_t& next, int depth) {
  if (depth > kDeepest) return;
  if (element.isArray()) {
    for (int i = 0; i < element.getArrayNItems(); ++i) NameFigures(element.getArrayItem(i), figures, next, depth + 1);
    return;
  }
  if (!element.isDictionary()) return;
  if (element.hasKey("/S") && element.getKey("/S").isName() && element.getKey("/S").getName() == "/Figure" && next < figures.size())
    element.replaceKey("/Alt", QPDFObjectHandle::newUnicodeString(figures[next++]));
  if (element.hasKey("/K")) NameFigures(element.getKey("/K"), figures, next, depth + 1);
}

// All of it is one document (14.8.4.2): Cairo hangs every heading and paragraph on the root.
void PutDocument(QPDF& file, QPDFObjectHandle tree) {
  QPDFObjectHandle document = file.makeIndirectObject(QPDFObjectHandle::parse("<< /Type /StructElem /S /Document >>"));
  QPDFObjectHandle children = tree.getKey("/K");
  if (!children.isArray()) children = QPDFObjectHandle::newArray({children});
  for (int i = 0; i < children.getArrayNItems(); ++i)
    if (children.getArrayItem(i).isDictionary()) children.getArrayItem(i).replaceKey("/P", document);
  document.replaceKey("/P", tree);
  document.replaceKey("/K", children);
  tree.replaceKey("/K", document);
}

}  // namespace

std::string Tagged(const std::string& pdf, const std::vector<std::string>& figures) {
  try {
    QPDF file;
    file.setSuppressWarnings(true);
    file.processMemoryFile("report", pdf.data(), pdf.size());
    QPDFObjectHandle root = file.getRoot();
    if (!root.hasKey("/StructTreeRoot") || !root.getKey("/StructTreeRoot").hasKey("/K")) return pdf;
    root.replaceKey("/MarkInfo", QPDFObjectHandle::parse("<< /Marked true >>"));
    root.replaceKey("/Lang", QPDFObjectHandle::newString("en"));
    root.replaceKey("/ViewerPreferences", QPDFObjectHandle::parse("<< /DisplayDocTitle true >>"));
    PutDocument(file, root.getKey("/StructTreeRoot"));
    std::size_t next = 0;
    NameFigures(root.getKey("/StructTreeRoot"), figures, next, 0);
    QPDFWriter writer(file);
    writer.setOutputMemory();
    writer.setStreamDataMode(qpdf_s_preserve);
    writer.setObjectStreamMode(qpdf_o_preserve);
    writer.setDeterministicID(true);
    writer.write();
    const auto bytes = writer.getBufferSharedPointer();
    return {reinterpret_cast<const char*>(bytes->getBuffer()), bytes->getSize()};
  } catch (const std::exception&) {
    return pdf;  // still the report, only not marked
  }
}

}  // namespace fairlead
