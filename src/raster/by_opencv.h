// Pictures of the kinds that OpenCV decodes for us. Their headers are read by the caller, who has checked the
// size: OpenCV allocates by what the header says.
#pragma once

#include "raster/picture_file.h"
#include "raster/stored_picture.h"

namespace powderplan {

enum class OpenCvWants {
  bytes,  // it can decode from memory
  file,   // it reads files only; from memory it would first write a copy into the temporary folder
};

// `picture` holds what the header promised: the size, model, kind and alpha that OpenCV must come to. Fills
// picture.samples with RGB(A) or grey (and alpha). `flags` are those of cv::imread. Nothing is printed:
// while it runs, OpenCV's log is silent and std::cerr, which OpenCV writes to whatever the log level, leads
// nowhere; both are put back. Throws Problem (input) when OpenCV gives up or gives something else.
void decode_by_opencv(const PictureFile& file, Bytes bytes, OpenCvWants wants, int flags,
                      StoredPicture& picture);

}  // namespace powderplan
