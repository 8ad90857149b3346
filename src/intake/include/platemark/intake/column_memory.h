/// Contiguous columns of millions of values.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <vector>

namespace platemark::intake {

/// Raw memory for large columns; the system is asked for large pages.
[[nodiscard]] void* columnMemory(std::size_t bytes);
void releaseColumnMemory(void* memory) noexcept;

/// Leaves new elements unset: a reader fills every one of them itself.
template <class T>
struct ColumnAllocator {
  using value_type = T;
  ColumnAllocator() = default;
  template <class U>
  ColumnAllocator(const ColumnAllocator<U>&) {}
  T* allocate(std::size_t n) { return static_cast<T*>(columnMemory(n * sizeof(T))); }
  void deallocate(T* memory, std::size_t) noexcept { releaseColumnMemory(memory); }
  template <class U>
  void construct(U* place) noexcept {
    ::new (static_cast<void*>(place)) U;
  }
  template <class U, class... Args>
  void construct(U* place, Args&&... args) {
    ::new (static_cast<void*>(place)) U(static_cast<Args&&>(args)...);
  }
  friend bool operator==(const ColumnAllocator&, const ColumnAllocator&) { return true; }
};

using Numbers = std::vector<double, ColumnAllocator<double>>;
using Times = std::vector<std::int64_t, ColumnAllocator<std::int64_t>>;
using Lines = std::vector<std::uint32_t, ColumnAllocator<std::uint32_t>>;

}  // namespace platemark::intake
