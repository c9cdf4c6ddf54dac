// SPDX-License-Identifier: Apache-2.0
#include "imaging/pair/bundle.h"

#include <ceres/ceres.h>

#include <cmath>
#include <memory>

namespace fairlead {
namespace {

constexpr double kHuber = 2.5;   // sd beyond which a click counts less; practice, no source
constexpr double kFixed = 1e-7;  // sd of what is held where it stands
// Of a table that stood still: breath and beat between two frames; of an unknown one; of a table whose place is known.
// Practice, no source; a breath moves a heart by 4.9 mm (2.4 to 8.0): "breath-2004" in the table of sources.
constexpr double kStillSd = 5.0, kUnknownSd = 25.0, kGivenSd = 5.0;

// The C-arm model of geometry/view.h, for numbers that know their derivatives.
template <typename T>
void ProjectT(const View& view, const T* gantry, const T* shift, const T* point, T* place) {
  using std::cos;
  using std::sin;
  const T a = T(view.primary.radians()) + gantry[0], b = T(view.secondary.radians()) + gantry[1];
  const T sa = sin(a), ca = cos(a), sb = sin(b), cb = cos(b), sr = sin(gantry[2]), cr = cos(gantry[2]);
  const T x = point[0] + T(view.patient_shift.x) + shift[0], y = point[1] + T(view.patient_shift.y) + shift[1],
          z = point[2] + T(view.patient_shift.z) + shift[2];
  const T depth = sa * cb * x - ca * cb * y + sb * z + T(view.source_to_isocentre.millimetres()) + gantry[4];
  const T u = ca * x + sa * y, v = sa * sb * x - ca * sb * y - cb * z;
  const T magnified = (T(view.source_to_detector.millimetres()) + gantry[3]) / depth;
  place[0] = T(0.5 * (view.columns - 1)) + magnified * (cr * u + sr * v) / T(view.column_spacing.millimetres());
  place[1] = T(0.5 * (view.rows - 1)) + magnified * (cr * v - sr * u) / T(view.row_spacing.millimetres());
}

struct MarkResidual {
  View view;
  ImagePoint at;
  double sd;
  template <typename T>
  bool operator()(const T* gantry, const T* shift, const T* point, T* residual) const {
    T place[2];
    ProjectT(view, gantry, shift, point, place);
    residual[0] = (place[0] - T(at.column)) / T(sd);
    residual[1] = (place[1] - T(at.row)) / T(sd);
    return true;
  }
};

template <typename T>
void PointOf(const SplineWeights& weights, const T* p, const T* q, const T* r, const T* s, T* point) {
  for (int i = 0; i < 3; ++i) {
    point[i] = T(weights.value[0]) * p[i] + T(weights.value[1]) * q[i] + T(weights.value[2]) * r[i] +
               T(weights.value[3]) * s[i];
  }
}

struct CourseResidual {
  View view;
  CourseClick click;
  SplineWeights weights;
  double sd;
  template <typename T>  // NOLINTNEXTLINE(readability-function-size): Ceres hands over each block as its own argument
  bool operator()(const T* gantry, const T* shift, const T* p, const T* q, const T* r, const T* s, T* residual) const {
    T point[3], place[2];
    PointOf(weights, p, q, r, s, point);
    ProjectT(view, gantry, shift, point, place);
    const T column = (place[0] - T(click.at.column)) / T(sd), row = (place[1] - T(click.at.row)) / T(sd);
    residual[0] = T(click.normal_column) * column + T(click.normal_row) * row;
    // Along the course only a point that was meant counts.
    residual[1] = click.fixed ? T(-click.normal_row) * column + T(click.normal_column) * row : T(0.0);
    return true;
  }
};

// How far the direction turns over a span: the second difference over the span, where the span grows and shrinks with the course's
// chord as it is now. Against the chord as it was laid, a course seen smaller would bend less, and the scale of two views would be
// drawn down wherever the table's place leaves it open. `from` and `to` are the ends, which may be points of the bend themselves.
constexpr double kMostScale = 1.15;  // an unknown place of the table is worth 2.5 % (docs/methods-pair.md); chosen
struct BendResidual {
  double weight, chord;  // millimetres, as laid
  bool at_start;         // of three points and one end: that end is the last
  template <typename T>
  bool operator()(const T* p, const T* q, const T* r, const T* from, const T* to, T* residual) const {
    using std::sqrt;
    const T x = to[0] - from[0], y = to[1] - from[1], z = to[2] - from[2];
    T as_now = sqrt(x * x + y * y + z * z + T(1e-12));
    // An end that runs away, where clicks hold it badly, must not make the bends cheap.
    if (as_now > T(kMostScale * chord)) as_now = T(kMostScale * chord);
    if (as_now < T(chord / kMostScale)) as_now = T(chord / kMostScale);
    for (int i = 0; i < 3; ++i) residual[i] = T(weight * chord) / as_now * (p[i] - T(2.0) * q[i] + r[i]);
    return true;
  }
  template <typename T>
  bool operator()(const T* p, const T* q, const T* r, const T* end, T* residual) const {
    return at_start ? (*this)(p, q, r, p, end, residual) : (*this)(p, q, r, end, r, residual);
  }
  template <typename T>
  bool operator()(const T* p, const T* q, const T* r, T* residual) const {
    return (*this)(p, q, r, p, r, residual);
  }
};

template <int kSize>
struct PriorResidual {
  std::array<double, kSize> sd;
  template <typename T>
  bool operator()(const T* value, T* residual) const {
    for (int i = 0; i < kSize; ++i) residual[i] = value[i] / T(sd[static_cast<std::size_t>(i)]);
    return true;
  }
};

struct DistanceResidual {
  double mm, sd;
  template <typename T>
  bool operator()(const T* a, const T* b, T* residual) const {
    using std::sqrt;
    const T x = a[0] - b[0], y = a[1] - b[1], z = a[2] - b[2];
    residual[0] = (sqrt(x * x + y * y + z * z + T(1e-12)) - T(mm)) / T(sd);
    return true;
  }
};

struct Blocks {
  std::unique_ptr<ceres::Problem> problem;
  std::array<std::vector<ceres::ResidualBlockId>, 4> kinds;  // as kKinds
};

class Builder {
 public:
  explicit Builder(Bundle& bundle) : bundle_(bundle) {
    ceres::Problem::Options options;
    options.loss_function_ownership = ceres::DO_NOT_TAKE_OWNERSHIP;
    blocks_.problem = std::make_unique<ceres::Problem>(options);
  }
  Blocks Build() {
    for (std::size_t run = 0; run < bundle_.gantry.size(); ++run) AddGantry(run);
    for (std::size_t frame = 0; frame < bundle_.frames.size(); ++frame) {
      Add(2, new ceres::AutoDiffCostFunction<PriorResidual<3>, 3, 3>(new PriorResidual<3>{bundle_.shift_sd[frame]}),
          nullptr, {bundle_.shift[frame].data()});
    }
    for (FittedMark& mark : bundle_.marks) AddMark(mark);
    for (FittedCourse& course : bundle_.courses) AddCourse(course);
    for (const FittedDistance& known : bundle_.distances) {
      Add(0, new ceres::AutoDiffCostFunction<DistanceResidual, 1, 3, 3>(new DistanceResidual{known.mm, known.sd}),
          nullptr, {&bundle_.marks[known.from].at.x, &bundle_.marks[known.to].at.x});
    }
    return std::move(blocks_);
  }

 private:
  void Add(std::size_t kind, ceres::CostFunction* cost, ceres::LossFunction* loss,
           const std::vector<double*>& parameters) {
    blocks_.kinds[kind].push_back(blocks_.problem->AddResidualBlock(cost, loss, parameters));
  }
  double* gantry(std::size_t frame) {
    return bundle_.gantry[static_cast<std::size_t>(bundle_.frames[frame].run)].data();
  }
  void AddGantry(std::size_t run) {
    const double angle = run == 0 ? kFixed : kAngleSd.radians(), roll = run == 0 ? kFixed : kRollSd.radians();
    const double distance = kDistanceSd.millimetres();
    Add(1,
        new ceres::AutoDiffCostFunction<PriorResidual<5>, 5, 5>(
            new PriorResidual<5>{{angle, angle, roll, distance, distance}}),
        nullptr, {bundle_.gantry[run].data()});
  }
  void AddMark(FittedMark& mark) {
    for (const Click& click : mark.clicks) {
      Add(0,
          new ceres::AutoDiffCostFunction<MarkResidual, 2, 5, 3, 3>(
              new MarkResidual{bundle_.frames[click.frame].view, click.at, bundle_.click_sd_px}),
          &huber_, {gantry(click.frame), bundle_.shift[click.frame].data(), &mark.at.x});
    }
  }
  void AddCourse(FittedCourse& course) {
    auto& control = course.spline.control;
    for (const CourseClick& click : course.clicks) {
      const SplineWeights weights = WeightsAt(course.spline.spans(), click.parameter);
      const std::size_t i = weights.first;
      Add(0,
          new ceres::AutoDiffCostFunction<CourseResidual, 2, 5, 3, 3, 3, 3, 3>(
              new CourseResidual{bundle_.frames[click.frame].view, click, weights, bundle_.click_sd_px}),
          &huber_,
          {gantry(click.frame), bundle_.shift[click.frame].data(), &control[i].x, &control[i + 1].x, &control[i + 2].x,
           &control[i + 3].x});
    }
    AddBends(course);
  }
  // The second difference over the square of the span is the bend; its white noise makes the direction wander.
  void AddBends(FittedCourse& course) {
    auto& control = course.spline.control;
    if (control.size() < 3) return;
    const double weight = 1.0 / (std::pow(course.span_mm, 1.5) * std::sqrt(course.wander_per_mm));
    double *first = &control.front().x, *last = &control.back().x;
    const double chord = Norm(control.back() - control.front());
    for (std::size_t i = 0; i + 2 < control.size(); ++i) {
      const bool at_start = i == 0, at_end = i + 3 == control.size();
      auto* bend = new BendResidual{weight, chord, at_start};
      std::vector<double*> points{&control[i].x, &control[i + 1].x, &control[i + 2].x};
      if (at_start && at_end) {
        Add(3, new ceres::AutoDiffCostFunction<BendResidual, 3, 3, 3, 3>(bend), nullptr, points);
      } else if (at_start || at_end) {
        points.push_back(at_start ? last : first);
        Add(3, new ceres::AutoDiffCostFunction<BendResidual, 3, 3, 3, 3, 3>(bend), nullptr, points);
      } else {
        points.push_back(first), points.push_back(last);
        Add(3, new ceres::AutoDiffCostFunction<BendResidual, 3, 3, 3, 3, 3, 3>(bend), nullptr, points);
      }
    }
  }

  Bundle& bundle_;
  Blocks blocks_;
  static inline ceres::HuberLoss huber_{kHuber};  // has no state
};

std::array<double, 3> ShiftSd(const PairFrame& frame, bool first) {
  if (first) return {kFixed, kFixed, kFixed};
  double sd = frame.table == TablePlace::kStill ? kStillSd : frame.table == TablePlace::kGiven ? kGivenSd : kUnknownSd;
  if (frame.shift_sd) sd = std::max(kFixed, frame.shift_sd->millimetres());
  return {sd, sd, sd};
}

// All unknowns in one order, with the first row of each.
std::vector<double*> Ordered(Bundle& bundle, Normals& normals) {
  std::vector<double*> blocks;
  const auto add = [&](double* block, std::size_t size) {
    blocks.push_back(block);
    normals.size += size;
  };
  for (FittedMark& mark : bundle.marks) normals.mark_at.push_back(normals.size), add(&mark.at.x, 3);
  for (FittedCourse& course : bundle.courses) {
    normals.course_at.push_back(normals.size);
    for (Vec3& p : course.spline.control) add(&p.x, 3);
  }
  for (GantryError& error : bundle.gantry) normals.gantry_at.push_back(normals.size), add(error.data(), 5);
  for (auto& shift : bundle.shift) normals.shift_at.push_back(normals.size), add(shift.data(), 3);
  return blocks;
}

// J^T J of one kind's rows.
std::vector<double> Squared(const ceres::CRSMatrix& jacobian, std::size_t size) {
  std::vector<double> matrix(size * size, 0.0);
  for (std::size_t row = 0; row + 1 < jacobian.rows.size(); ++row) {
    const auto first = static_cast<std::size_t>(jacobian.rows[row]),
               last = static_cast<std::size_t>(jacobian.rows[row + 1]);
    for (std::size_t i = first; i < last; ++i) {
      double* out = matrix.data() + static_cast<std::size_t>(jacobian.cols[i]) * size;
      for (std::size_t j = first; j < last; ++j)
        out[static_cast<std::size_t>(jacobian.cols[j])] += jacobian.values[i] * jacobian.values[j];
    }
  }
  return matrix;
}

}  // namespace

Bundle BundleOf(const std::vector<PairFrame>& frames, double click_sd_px) {
  Bundle bundle;
  bundle.frames = frames;
  bundle.click_sd_px = click_sd_px;
  int runs = 0;
  for (const PairFrame& frame : frames) {
    runs = std::max(runs, frame.run + 1);
    bundle.shift_sd.push_back(ShiftSd(frame, bundle.shift_sd.empty()));
  }
  bundle.gantry.resize(static_cast<std::size_t>(runs));
  bundle.shift.resize(frames.size());
  return bundle;
}

ImagePoint SeenIn(const Bundle& bundle, std::size_t frame, Vec3 point) {
  double place[2];
  const PairFrame& seen = bundle.frames[frame];
  ProjectT(seen.view, bundle.gantry[static_cast<std::size_t>(seen.run)].data(), bundle.shift[frame].data(), &point.x,
           place);
  return {place[0], place[1]};
}

View FittedView(const Bundle& bundle, std::size_t frame) {
  View view = bundle.frames[frame].view;
  const GantryError& error = bundle.gantry[static_cast<std::size_t>(bundle.frames[frame].run)];
  const auto& shift = bundle.shift[frame];
  view.primary = view.primary + Angle::Radians(error[0]);
  view.secondary = view.secondary + Angle::Radians(error[1]);
  view.source_to_detector = view.source_to_detector + Length::Millimetres(error[3]);
  view.source_to_isocentre = view.source_to_isocentre + Length::Millimetres(error[4]);
  view.patient_shift = view.patient_shift + Vec3{shift[0], shift[1], shift[2]};
  return view;
}

bool Solve(Bundle& bundle) {
  Blocks blocks = Builder(bundle).Build();
  ceres::Solver::Options options;
  options.linear_solver_type = ceres::DENSE_NORMAL_CHOLESKY;
  options.max_num_iterations = 60;
  options.function_tolerance = 1e-8;
  options.num_threads = 1;
  options.logging_type = ceres::SILENT;
  ceres::Solver::Summary summary;
  ceres::Solve(options, blocks.problem.get(), &summary);
  return summary.IsSolutionUsable() && std::isfinite(summary.final_cost);
}

Normals NormalsOf(Bundle& bundle) {
  Blocks blocks = Builder(bundle).Build();
  Normals normals;
  ceres::Problem::EvaluateOptions options;
  options.parameter_blocks = Ordered(bundle, normals);
  for (std::size_t kind = 0; kind < blocks.kinds.size(); ++kind) {
    normals.kinds.push_back({kKinds[kind], std::vector<double>(normals.size * normals.size, 0.0)});
    if (blocks.kinds[kind].empty()) continue;
    options.residual_blocks = blocks.kinds[kind];
    ceres::CRSMatrix jacobian;
    std::vector<double> residuals;
    if (!blocks.problem->Evaluate(options, nullptr, &residuals, nullptr, &jacobian)) continue;
    normals.kinds[kind].matrix = Squared(jacobian, normals.size);
    if (kind != 0) continue;
    for (const double r : residuals) normals.squares += r * r;
    for (const FittedMark& mark : bundle.marks) normals.residuals += 2 * mark.clicks.size();
    for (const FittedCourse& course : bundle.courses) {
      for (const CourseClick& click : course.clicks) normals.residuals += click.fixed ? 2 : 1;
    }
  }
  return normals;
}

}  // namespace fairlead
