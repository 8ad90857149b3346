/// The two papers of an invented batch, for the tests.
#pragma once

#include <string>

#include "figure/samples.h"
#include "platemark/paper/batch_record.h"

namespace samples {

using namespace platemark::paper;

BatchHead batchHead();

ResultWords resultOf(StripInput strip, std::string detail, std::string n, std::string limit,
                     std::string source, std::string standing, std::string method);

StripInput inside(std::string name, std::string unit, double result, std::string words, double u,
                  std::string u_words, double low, std::string low_words, double high,
                  std::string high_words);

CertificateContent certificateContent();

BatchRecordContent recordContent();

}  // namespace samples
