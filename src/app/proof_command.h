// `powderplan proof`: the page for the client again, with the piece in a photo of the client's room.
#pragma once

#include <iosfwd>

#include "app/proof_flags.h"

namespace powderplan {

// Throws Problem, or Interrupted; then nothing has been written.
void run_proof(const ProofOptions& options, std::ostream& out);

}  // namespace powderplan
