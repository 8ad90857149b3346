/// Writes for every test case its name, its seconds and the places it reached, a line each, into
/// the file that PLATEMARK_REACHED names. Included by the one test source that holds main().
#include <cstdlib>
#include <fstream>

#include "reached.h"

namespace {

class Reached : public doctest::IReporter {
 public:
  explicit Reached(const doctest::ContextOptions&) {
    if (const char* file = std::getenv("PLATEMARK_REACHED")) out_.open(file);
  }
  void test_case_start(const doctest::TestCaseData& test) override {
    name_ = test.m_name;
    pm::forgetReached();
  }
  void test_case_end(const doctest::CurrentTestCaseStats& stats) override {
    if (!out_.is_open()) return;
    out_ << name_ << '\t' << stats.seconds << '\t';
    for (const int place : pm::reached()) out_ << place << ' ';
    out_ << '\n';
  }
  void report_query(const doctest::QueryData&) override {}
  void test_run_start() override {}
  void test_run_end(const doctest::TestRunStats&) override {}
  void test_case_reenter(const doctest::TestCaseData&) override {}
  void test_case_exception(const doctest::TestCaseException&) override {}
  void subcase_start(const doctest::SubcaseSignature&) override {}
  void subcase_end() override {}
  void log_assert(const doctest::AssertData&) override {}
  void log_message(const doctest::MessageData&) override {}
  void test_case_skipped(const doctest::TestCaseData&) override {}

 private:
  std::ofstream out_;
  std::string name_;
};

}  // namespace

REGISTER_LISTENER("reached", 1, Reached);
