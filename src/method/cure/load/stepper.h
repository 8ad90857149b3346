/// One step of eight stacks: Rosenbrock-W method of order 3 with an embedded order 2.
#pragma once

#include <array>
#include <functional>
#include <span>

#include "air.h"
#include "grid.h"
#include "tableau.h"

namespace platemark::method::cure {

/// Errors of a step against which it is judged.
struct StepTolerance {
  double kelvin = 0, degree = 0;
};

class Stepper {
 public:
  /// Wide takes four lanes at once, where the processor may: the results are the same to the bit.
  explicit Stepper(const Grid& grid, bool wide = mayBeWide());
  [[nodiscard]] static bool mayBeWide();

  /// Before the first step: another start than the stack's own.
  void startAt(std::size_t cell, std::size_t lane, double kelvin) { kelvin_[cell][lane] = kelvin; }
  /// Tries a step of h seconds; the state stays. Returns the largest error over its tolerance.
  [[nodiscard]] double attempt(double h, std::span<const AirLine> air,
                               const StepTolerance& tolerance);
  /// Makes the step tried last the state.
  void accept();

  [[nodiscard]] const Field& kelvin() const { return kelvin_; }
  [[nodiscard]] const Field& degree() const { return degree_; }
  /// State before the step accepted last, and dT/dt there.
  [[nodiscard]] const Field& kelvinBefore() const { return new_kelvin_; }
  [[nodiscard]] const Field& slopeBefore() const { return slope_; }
  /// Faces at the ends for the air at the end of the step accepted last.
  [[nodiscard]] double firstFace(std::size_t lane) const;
  [[nodiscard]] double lastFace(std::size_t lane) const;
  /// Largest share of its distance to the air that a cell goes in a second.
  [[nodiscard]] double quickest() const;

  /// A source in W/m³ by cell, lane and seconds into the step, for manufactured solutions.
  std::function<double(std::size_t cell, std::size_t lane, double seconds)> source{};

 private:
  static constexpr std::size_t stages = 4;

  template <class Pack>
  [[nodiscard]] double attemptWith(double h, std::span<const AirLine> air,
                                   const StepTolerance& tolerance);
  [[nodiscard]] double attemptWide(double h, std::span<const AirLine> air,
                                   const StepTolerance& tolerance);

  void placeAir(std::span<const AirLine> air);
  template <class Pack>
  void conduct(const Field& kelvin);
  template <class Pack>
  void reactAtStart(double degree_tolerance);
  template <class Pack>
  void reactAtStage();
  template <class Pack>
  void factorise(double d);
  template <class Pack>
  void foldDegree(std::size_t cell, double d, double* diagonal);
  template <class Pack>
  void stageState(std::size_t stage);
  template <class Pack>
  void stageRight(std::size_t stage, const Field& kelvin);
  template <class Pack, bool sides>
  void temperatureRight(std::size_t stage, std::size_t cell, const Field& kelvin);
  void addSource(std::size_t stage, std::size_t cell);
  template <class Pack>
  void eliminateAt(std::size_t stage, std::size_t cell);
  template <class Pack>
  void substitute(std::size_t stage);
  template <class Pack>
  void finish();
  template <class Pack>
  [[nodiscard]] double errorOf(const StepTolerance& tolerance) const;

  const Grid& grid_;
  Field kelvin_, degree_, new_kelvin_, new_degree_;
  Field stage_kelvin_, stage_degree_;
  Field below_;         ///< W/m²K between a cell and the one before; behind the last: the air
  Field per_capacity_;  ///< m²K/J
  Field at_start_;      ///< the same at the start of the step
  Field rate_, rate_by_kelvin_, rate_by_degree_;
  Field slope_;                  ///< dT/dt at the start of the step
  Field lower_, upper_, pivot_;  ///< of the factorised matrix; pivots inverted
  Field fold_, degree_pivot_;    ///< α eliminated from each cell
  std::array<Field, stages> kelvin_stage_, degree_stage_;
  Field first_air_, first_drift_, last_air_, last_drift_;  ///< one cell: K, K/s
  Field first_now_, last_now_;                             ///< one cell: K at a stage
  std::vector<char> idle_;  ///< cells whose rate is not looked at twice in a step
  double h_ = 0;
  bool wide_;
};

}  // namespace platemark::method::cure
