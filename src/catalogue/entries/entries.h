/// Each file of this folder describes the methods of one subject.
#pragma once

#include <vector>

#include "platemark/catalogue/catalogue.h"

namespace platemark::catalogue {

std::vector<Entry> powderEntries();
std::vector<Entry> benchEntries();
std::vector<Entry> waterEntries();
std::vector<Entry> compoundEntries();  ///< compound, forming, mixing
std::vector<Entry> pressEntries();     ///< the rhythm of a press
std::vector<Entry> packingEntries();
std::vector<Entry> statisticsEntries();
std::vector<Entry> frictionEntries();
std::vector<Entry> brakeEntries();
std::vector<Entry> cureEntries();
std::vector<Entry> cureModelEntries();  ///< kinetics, heat in the load, calorimeter
std::vector<Entry> frictionMachineEntries();
std::vector<Entry> padEntries();
std::vector<Entry> decisionEntries();
std::vector<Entry> controlChartEntries();
std::vector<Entry> gaugeEntries();
std::vector<Entry> plateEntries();
std::vector<Entry> sizesEntries();  ///< sieve stacks, fits, moments, bands, earlier lots
std::vector<Entry> assayEntries();  ///< moisture, extract, ignition, bulk density, flow

/// find() over any list, so that several versions of one entry can be tried.
[[nodiscard]] const Entry* findIn(std::span<const Entry> list, std::string_view id, int version);
/// The one value of an input; evaluate() has checked that it is there.
[[nodiscard]] const Measure& one(const Inputs& inputs, const std::string& name);
/// In SI; kinds were checked by evaluate().
[[nodiscard]] double si(const Measure& measure);
[[nodiscard]] std::vector<double> siList(const Inputs& inputs, const std::string& name);
/// A value given in SI, as a Measure in `unit` in the shortest text that gives the double back.
[[nodiscard]] Measure fromSi(double si, std::string_view unit);
/// A standard uncertainty given in SI: a difference, so a scale's zero does not shift it.
[[nodiscard]] Measure differenceFromSi(double si, std::string_view unit);
[[nodiscard]] OutputValue output(const Entry& entry, std::string_view name, double si);
[[nodiscard]] OutputValue output(const Entry& entry, std::string_view name, double si,
                                 double standard_uncertainty_si);

}  // namespace platemark::catalogue
