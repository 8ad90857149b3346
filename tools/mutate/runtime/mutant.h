/// What a switchable source calls. One mutant at most is on in a run, named by the variable
/// PLATEMARK_MUTANT; with none on, every function here says what the source said.
#pragma once

#include <optional>
#include <type_traits>
#include <utility>

namespace pm {

/// Whether this mutant is on; notes that the place was reached.
[[nodiscard]] bool on(int mutant);
/// The same for what is evaluated once for the whole program: it stays reached.
[[nodiscard]] bool onForGood(int mutant);

template <class T>
bool truth(T&& value) {
  return static_cast<bool>(value);
}

template <class A, class B>
bool equal(int negated, A&& a, B&& b) {
  return truth(a == b) != on(negated);
}
template <class A, class B>
bool unequal(int negated, A&& a, B&& b) {
  return truth(a != b) != on(negated);
}
template <class A, class B>
bool less(int boundary, int negated, A&& a, B&& b) {
  return (on(boundary) ? !truth(b < a) : truth(a < b)) != on(negated);
}
template <class A, class B>
bool lessEqual(int boundary, int negated, A&& a, B&& b) {
  return (on(boundary) ? truth(a < b) : truth(a <= b)) != on(negated);
}
template <class A, class B>
bool greater(int boundary, int negated, A&& a, B&& b) {
  return (on(boundary) ? !truth(a < b) : truth(a > b)) != on(negated);
}
template <class A, class B>
bool greaterEqual(int boundary, int negated, A&& a, B&& b) {
  return (on(boundary) ? truth(b < a) : truth(a >= b)) != on(negated);
}

/// One side of && or || that no longer counts.
template <class T>
bool leftOut(int mutant, bool neutral, T&& value) {
  return on(mutant) ? neutral : truth(value);
}
template <class T>
bool negated(int mutant, T&& value) {
  return truth(value) != on(mutant);
}
template <class T>
bool never(int mutant, T&& value) {
  return truth(value) && !on(mutant);
}

template <class A, class B>
auto plus(int mutant, A a, B b) {
  return on(mutant) ? a - b : a + b;
}
template <class A, class B>
auto minus(int mutant, A a, B b) {
  return on(mutant) ? a + b : a - b;
}
template <class A, class B>
auto times(int mutant, A a, B b) {
  return on(mutant) ? a / b : a * b;
}
template <class A, class B>
auto over(int mutant, A a, B b) {
  return on(mutant) ? a * b : a / b;
}
template <class A, class B>
A& add(int mutant, A& a, B b) {
  return on(mutant) ? a -= b : a += b;
}
template <class A, class B>
A& take(int mutant, A& a, B b) {
  return on(mutant) ? a += b : a -= b;
}
template <class A>
A& up(int mutant, A& a) {
  return on(mutant) ? --a : ++a;
}
template <class A>
A& down(int mutant, A& a) {
  return on(mutant) ? ++a : --a;
}
template <class A>
A unsigned_(int mutant, A a) {
  return on(mutant) ? a : -a;
}

/// Another unit of the same dimension.
template <class A, class B>
std::decay_t<A> other(int mutant, A&& a, B&& b) {
  return on(mutant) ? std::decay_t<A>(b) : std::decay_t<A>(a);
}
/// The answer of a question that stands in nobody's way any more.
template <class T>
T granted(int mutant, T answer) {
  if (!on(mutant)) return answer;
  if constexpr (std::is_default_constructible_v<T>)
    return T{};
  else
    return T(std::decay_t<decltype(*answer)>{});
}
template <class T>
T inTable(int mutant, T a, T b) {
  return onForGood(mutant) ? b : a;
}
template <class A>
A halved(int mutant, A a) {
  return onForGood(mutant) ? static_cast<A>(a / 2) : a;
}

}  // namespace pm
