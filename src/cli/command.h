/// The terminal: the same acts and questions as the pages, with the same words.
///
/// Exit status: 0 done or conforms, 1 refused or does not conform, 2 cannot
/// decide, 64 wrong use, 65 bad input, 69 the record or the network is not there.
#pragma once

#include <optional>
#include <string>

#include "platemark/plant/value.h"
#include "platemark/quantity/result.h"
#include "platemark/service/house.h"
#include "platemark/service/service.h"

namespace platemark::cli {

[[nodiscard]] int run(int argc, char** argv);

/// Options that every command knows.
struct Common {
  std::string folder = "record";
  std::string login;
  bool json = false;
};

[[nodiscard]] int exitStatus(Fault fault);
/// Says an error on standard error, for people or as JSON, and gives its exit status.
int fail(const Error& error, const Common& common);
void print(const Value& value, const Common& common);
/// The password: from PLATEMARK_PASSWORD, else asked at the terminal without echo.
[[nodiscard]] std::string password(const std::string& question);
/// Opens the plant and signs in. The person's number.
[[nodiscard]] Result<PersonNumber> signIn(service::House& house, const Common& common,
                                          std::string& password_out);

int runServe(const Common& common, service::ServiceOptions options);
int runFound(const Common& common, const service::PlantCard& card, service::Founder founder);
int runPersonAdd(const Common& common, const std::string& name, const std::string& login,
                 const std::string& duty, const std::string& operations, const std::string& until);
int runPeopleErase(const Common& common, PersonNumber number);
int runAct(const Common& common, const std::string& name, const std::string& input_file,
           const std::string& input_text, const std::string& token, const std::string& at,
           const std::string& late_because);
int runShow(const Common& common, const std::string& what, const std::string& id);
int runVerify(const Common& common, const std::string& anchor);
int runAnchor(const Common& common);
int runBackUp(const Common& common, const std::string& to);
int runRestore(const Common& common, const std::string& from, const std::string& to,
               const std::string& anchor);
int runRebuild(const Common& common);
int runMethod(const Common& common, const std::string& id,
              const std::vector<std::string>& assignments);
int runImport(const Common& common, const std::string& kind, const std::string& file, bool dry);
int runExport(const Common& common, const std::string& kind, const std::string& format,
              const std::string& to);
/// A label or sheet as PDF, into `out`; to standard output when it is empty.
int runLabel(const Common& common, const std::string& what, const std::string& id,
             const std::string& part, const std::string& out);
int runAttach(const Common& common, const std::string& file);

}  // namespace platemark::cli
