/// ROS34PW2: a Rosenbrock-W method of order 3 that keeps its order whatever stands for the
/// Jacobian, stiffly accurate, with an embedded order 2. J. Rang, L. Angermann, BIT 45 (2005) 761.
#pragma once

#include <array>
#include <cstddef>

namespace platemark::method::cure {

/// In the form that needs no product with the Jacobian: stages u = Γ·k.
struct Tableau {
  static constexpr std::size_t stages = 4;
  using Row = std::array<double, stages>;
  std::array<Row, stages> a{};  ///< α·Γ⁻¹
  std::array<Row, stages> c{};  ///< 1/γ − Γ⁻¹, below the diagonal
  Row m{}, error{};             ///< b·Γ⁻¹, (b − b̂)·Γ⁻¹
  Row time{}, drift{};          ///< Σα, Σγ
  double gamma = 0;
};

namespace detail {

inline constexpr double ros_gamma = 4.3586652150845900e-1;
inline constexpr std::array<Tableau::Row, 4> ros_alpha{
    {{0, 0, 0, 0},
     {8.7173304301691801e-1, 0, 0, 0},
     {8.4457060015369423e-1, -1.1299064236484185e-1, 0, 0},
     {0, 0, 1, 0}}};
inline constexpr std::array<Tableau::Row, 4> ros_gammas{
    {{ros_gamma, 0, 0, 0},
     {-8.7173304301691801e-1, ros_gamma, 0, 0},
     {-9.0338057013044082e-1, 5.4180672388095326e-2, ros_gamma, 0},
     {2.4212380706095346e-1, -1.2232505839045147, 5.4526025533510214e-1, ros_gamma}}};
inline constexpr Tableau::Row ros_b{2.4212380706095346e-1, -1.2232505839045147, 1.5452602553351020,
                                    4.3586652150845900e-1};
inline constexpr Tableau::Row ros_embedded{3.7810903145819369e-1, -9.6042292212423178e-2, 0.5,
                                           2.1793326075422950e-1};

/// row·Γ⁻¹ by substitution from the right; Γ is lower triangular.
constexpr Tableau::Row overGammas(Tableau::Row row) {
  for (std::size_t j = 4; j-- > 0;) {
    row[j] /= ros_gammas[j][j];
    for (std::size_t k = 0; k < j; ++k) row[k] -= row[j] * ros_gammas[j][k];
  }
  return row;
}

}  // namespace detail

constexpr Tableau ros34pw2() {
  Tableau tableau;
  tableau.gamma = detail::ros_gamma;
  Tableau::Row difference{};
  for (std::size_t i = 0; i < 4; ++i) {
    Tableau::Row unit{};
    unit[i] = 1;
    const Tableau::Row inverse = detail::overGammas(unit);
    tableau.a[i] = detail::overGammas(detail::ros_alpha[i]);
    for (std::size_t j = 0; j < i; ++j) tableau.c[i][j] = -inverse[j];
    for (std::size_t j = 0; j < 4; ++j) {
      tableau.time[i] += detail::ros_alpha[i][j];
      tableau.drift[i] += detail::ros_gammas[i][j];
    }
    difference[i] = detail::ros_b[i] - detail::ros_embedded[i];
  }
  tableau.m = detail::overGammas(detail::ros_b);
  tableau.error = detail::overGammas(difference);
  return tableau;
}

}  // namespace platemark::method::cure
