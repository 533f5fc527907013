// Round lengths for rulers and scale bars.
#pragma once

namespace powderplan {

// The longest of 1, 2, 5, 10, 20, 50, ... that is at most `most` (above 0).
double ruler_length(double most);

}  // namespace powderplan
