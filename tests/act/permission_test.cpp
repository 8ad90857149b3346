#include "act/plant_fixture.h"
