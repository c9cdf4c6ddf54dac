// SPDX-License-Identifier: Apache-2.0
// The tags that the reader of runs uses (DICOM PS3.6).
#pragma once

#include "imaging/dicom/elements.h"

namespace fairlead::tags {

constexpr Tag kTransferSyntax = 0x0002'0010;
constexpr Tag kImageType = 0x0008'0008;
constexpr Tag kSopClass = 0x0008'0016;
constexpr Tag kModality = 0x0008'0060;
constexpr Tag kRecommendedRate = 0x0008'2144;
constexpr Tag kCineRate = 0x0018'0040;
constexpr Tag kFrameTime = 0x0018'1063;
constexpr Tag kFrameTimeVector = 0x0018'1065;
constexpr Tag kSourceToDetector = 0x0018'1110;
constexpr Tag kSourceToPatient = 0x0018'1111;
constexpr Tag kMagnification = 0x0018'1114;
constexpr Tag kTableMotion = 0x0018'1134;
constexpr Tag kTableVertical = 0x0018'1135;
constexpr Tag kTableLateral = 0x0018'1136;
constexpr Tag kTableLongitudinal = 0x0018'1137;
constexpr Tag kFieldOfViewShape = 0x0018'1147;
constexpr Tag kFieldOfView = 0x0018'1149;
constexpr Tag kRadiationSetting = 0x0018'1155;
constexpr Tag kImagerPixelSpacing = 0x0018'1164;
constexpr Tag kPositionerMotion = 0x0018'1500;
constexpr Tag kPrimaryAngle = 0x0018'1510;
constexpr Tag kSecondaryAngle = 0x0018'1511;
constexpr Tag kPrimaryIncrement = 0x0018'1520;
constexpr Tag kSecondaryIncrement = 0x0018'1521;
constexpr Tag kShutterShape = 0x0018'1600;
constexpr Tag kShutterLeft = 0x0018'1602;
constexpr Tag kShutterRight = 0x0018'1604;
constexpr Tag kShutterUpper = 0x0018'1606;
constexpr Tag kShutterLower = 0x0018'1608;
constexpr Tag kShutterCentre = 0x0018'1610;
constexpr Tag kShutterRadius = 0x0018'1612;
constexpr Tag kShutterVertices = 0x0018'1620;
constexpr Tag kPullbackKind = 0x0018'3100;         // IVUS Acquisition
constexpr Tag kPullbackRate = 0x0018'3101;
constexpr Tag kRegions = 0x0018'6011;              // sequence
constexpr Tag kRegionFormat = 0x0018'6012;
constexpr Tag kRegionLeft = 0x0018'6018;
constexpr Tag kRegionTop = 0x0018'601A;
constexpr Tag kRegionRight = 0x0018'601C;
constexpr Tag kRegionBottom = 0x0018'601E;
constexpr Tag kRegionUnitsX = 0x0018'6024;
constexpr Tag kRegionUnitsY = 0x0018'6026;
constexpr Tag kRegionDeltaX = 0x0018'602C;
constexpr Tag kRegionDeltaY = 0x0018'602E;
constexpr Tag kFrameAcquisitionDateTime = 0x0018'9074;
constexpr Tag kFrameReferenceDateTime = 0x0018'9151;
constexpr Tag kPositionerPosition = 0x0018'9405;  // sequence
constexpr Tag kSourceToIsocentre = 0x0018'9402;
constexpr Tag kXRayGeometry = 0x0018'9476;        // sequence
constexpr Tag kFieldOfViewSequence = 0x0018'9432;
constexpr Tag kFieldOfViewFloat = 0x0018'9461;
constexpr Tag kFrameContent = 0x0020'9111;        // sequence
constexpr Tag kSamples = 0x0028'0002;
constexpr Tag kPhotometric = 0x0028'0004;
constexpr Tag kPlanar = 0x0028'0006;
constexpr Tag kFrames = 0x0028'0008;
constexpr Tag kFramePointer = 0x0028'0009;
constexpr Tag kRows = 0x0028'0010;
constexpr Tag kColumns = 0x0028'0011;
constexpr Tag kPixelSpacing = 0x0028'0030;
constexpr Tag kBitsAllocated = 0x0028'0100;
constexpr Tag kBitsStored = 0x0028'0101;
constexpr Tag kHighBit = 0x0028'0102;
constexpr Tag kPixelRepresentation = 0x0028'0103;
constexpr Tag kBurnedIn = 0x0028'0301;
constexpr Tag kCalibrationType = 0x0028'0A02;
constexpr Tag kWindowCenter = 0x0028'1050;
constexpr Tag kWindowWidth = 0x0028'1051;
constexpr Tag kRescaleIntercept = 0x0028'1052;
constexpr Tag kRescaleSlope = 0x0028'1053;
constexpr Tag kViewingMode = 0x0028'1090;
constexpr Tag kPaletteDescriptor = 0x0028'1101;   // red; green and blue follow
constexpr Tag kPaletteData = 0x0028'1201;         // red; green and blue follow
constexpr Tag kLossy = 0x0028'2110;
constexpr Tag kModalityLut = 0x0028'3000;         // sequence
constexpr Tag kLutDescriptor = 0x0028'3002;
constexpr Tag kLutData = 0x0028'3006;
constexpr Tag kVoiLut = 0x0028'3010;              // sequence
constexpr Tag kRWavePointer = 0x0028'6040;
constexpr Tag kFrameVoiLut = 0x0028'9132;         // sequence
constexpr Tag kFramePixelData = 0x0028'9443;      // sequence
constexpr Tag kMeasurementUnits = 0x0040'08EA;    // sequence
constexpr Tag kConceptName = 0x0040'A043;         // sequence
constexpr Tag kFloatingValue = 0x0040'A161;
constexpr Tag kConceptCode = 0x0040'A168;         // sequence
constexpr Tag kMeasuredValue = 0x0040'A300;       // sequence
constexpr Tag kContent = 0x0040'A730;             // sequence
constexpr Tag kCalibrationImage = 0x0050'0004;
constexpr Tag kIconImage = 0x0088'0200;           // sequence
constexpr Tag kSharedGroups = 0x5200'9229;        // sequence
constexpr Tag kFrameGroups = 0x5200'9230;         // sequence
constexpr Tag kFloatPixels = 0x7FE0'0008;
constexpr Tag kDoublePixels = 0x7FE0'0009;
constexpr Tag kPixelData = 0x7FE0'0010;

}  // namespace fairlead::tags
