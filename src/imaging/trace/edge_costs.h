// SPDX-License-Identifier: Apache-2.0
// What each middle and radius of a vessel costs on one line across it, by its two edges and the dark between them. All middles
// of a radius are worked out at once, as arrays.
#pragma once

#include <Eigen/Core>
#include <span>
#include <vector>

#include "imaging/trace/straightened.h"

namespace fairlead {

class EdgeCosts {
 public:
  using Table = Eigen::ArrayXXd;  // middle by radius

  // Radii from 0.75 to `most`, middles 8 pixels to either side, less where the lines are too short. `expected` is the radius
  // thought likely. The lines must outlive this.
  EdgeCosts(const Straightened& straight, double blur, double expected, double most);

  double Middle(Eigen::Index m) const { return kAcrossStep * static_cast<double>(m - half_); }
  Eigen::ArrayXd Middles() const;
  static double Radius(Eigen::Index k);

  // Of a vessel of which a pixel of chord darkens by `dark`, in lines with that noise.
  Table Of(int line, double dark, double noise);

 private:
  // What a window about one edge looks like, less a straight line.
  struct Shape {
    std::vector<double> samples;
    double squares = 0.0;
  };
  // The same about every place of a line; infinite squares where a window reaches beyond it, so that no edge is found there.
  struct Windows {
    Eigen::ArrayXXd samples;  // place by sample
    Eigen::ArrayXd squares;
  };
  static int Reach(Eigen::Index k);
  void TakeWindows(std::span<const float> line, int direction, Windows& windows) const;
  void TakeAbove(std::span<const float> line);
  void AddEdge(const Windows& windows, const Shape& shape, int first, double dark, double var, Eigen::ArrayXd& costs) const;
  void AddLack(int first, Eigen::Index k, double dark, double noise, Eigen::ArrayXd& costs) const;

  const Straightened& straight_;
  int radii_, half_ = 2, middles_ = 5;
  double expected_;
  std::vector<Shape> shapes_;  // one a radius
  int spare_ = 0;              // places beyond each end of a line that an edge may be looked for at
  Windows rise_, fall_;        // of the line at hand
  Eigen::ArrayXd above_;
};

}  // namespace fairlead
