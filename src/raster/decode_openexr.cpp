// OpenEXR ("OpenEXR File Layout", in the library's own documentation): magic number, version, attributes.
#include <ImfChannelList.h>
#include <ImfFrameBuffer.h>
#include <ImfHeader.h>
#include <ImfIO.h>
#include <ImfInputFile.h>

#include <bit>
#include <cstring>
#include <exception>
#include <stdexcept>

#include "raster/decoders.h"

namespace powderplan {
namespace {

constexpr std::size_t version_at = 4, attributes_at = 8;
constexpr std::uint32_t deep_flag = 0x800, multipart_flag = 0x1000;

struct Channels {
  bool red = false, green = false, blue = false, luminance = false, chroma = false, alpha = false;
  bool sampled = false;  // one of those named by a single letter has less than the full size
  [[nodiscard]] bool colour() const { return red || green || blue; }
};

struct Header {
  bool has_window = false;
  std::int64_t width = 0, height = 0;
  Channels channels;
  ColourTag colour;
};

// Reads on through the header; past its end the file is cut short.
class Reader {
 public:
  Reader(const PictureFile& file, Bytes bytes) : path_(file.path), bytes_(bytes) {}
  Bytes take(std::size_t size) {
    if (size > bytes_.size() - at_)
      refuse_cut_short(path_);
    at_ += size;
    return bytes_.subspan(at_ - size, size);
  }
  std::uint32_t number() { return little_endian_32(take(4), 0); }
  std::string_view name() {
    const std::size_t begin = at_;
    while (take(1)[0] != 0) {
    }
    return {reinterpret_cast<const char*>(bytes_.data()) + begin, at_ - begin - 1};
  }

 private:
  const std::filesystem::path& path_;
  Bytes bytes_;
  std::size_t at_ = 0;
};

Channels read_channels(const PictureFile& file, Bytes value) {
  Channels found;
  Reader reader(file, value);
  for (std::string_view name = reader.name(); !name.empty(); name = reader.name()) {
    reader.take(8);  // type of sample, a hint, reserved
    const std::uint32_t across = reader.number(), down = reader.number();
    const bool sampled = across != 1 || down != 1;
    found.red |= name == "R";
    found.green |= name == "G";
    found.blue |= name == "B";
    found.luminance |= name == "Y";
    found.alpha |= name == "A";
    found.chroma |= name == "RY" || name == "BY";
    found.sampled |= name.size() == 1 && sampled;
  }
  return found;
}

// Inclusive corners.
std::int64_t edge(Bytes window, std::size_t from, std::size_t to) {
  const auto corner = [window](std::size_t at) {
    return std::int64_t{static_cast<std::int32_t>(little_endian_32(window, at))};
  };
  return corner(to) - corner(from) + 1;
}

// x and y of red, green, blue, white there; white first here.
std::array<double, 8> read_chromaticities(Bytes value) {
  std::array<double, 8> xy{};
  for (std::size_t i = 0; i < xy.size(); ++i)
    xy[(i + 2) % xy.size()] = static_cast<double>(std::bit_cast<float>(little_endian_32(value, 4 * i)));
  return xy;
}

Header read_header(const PictureFile& file) {
  Header h;
  Reader reader(file, file.bytes);
  reader.take(attributes_at);
  for (std::string_view name = reader.name(); !name.empty(); name = reader.name()) {
    reader.name();  // the type, which follows from the name
    const Bytes value = reader.take(reader.number());
    if (name == "dataWindow" && value.size() == 16) {
      h.has_window = true;
      h.width = edge(value, 0, 8);
      h.height = edge(value, 4, 12);
    } else if (name == "channels") {
      h.channels = read_channels(file, value);
    } else if (name == "chromaticities" && value.size() == 32) {
      h.colour.chromaticities = read_chromaticities(value);
    }
  }
  return h;
}

// The file as the library reads it: from memory.
class FileStream : public Imf::IStream {
 public:
  explicit FileStream(const PictureFile& file) : IStream(file.path.c_str()), bytes_(file.bytes) {}
  bool read(char to[], int size) override {
    if (static_cast<std::uint64_t>(size) > bytes_.size() - at_)
      throw std::runtime_error("the end of the file");
    std::memcpy(to, bytes_.data() + at_, static_cast<std::size_t>(size));
    at_ += static_cast<std::uint64_t>(size);
    return at_ < bytes_.size();
  }
  std::uint64_t tellg() override { return at_; }
  void seekg(std::uint64_t at) override {
    if (at > bytes_.size())
      throw std::runtime_error("beyond the end of the file");
    at_ = at;
  }

 private:
  Bytes bytes_;
  std::uint64_t at_ = 0;
};

// Channels that are missing stay 0; halves become floats.
void read_samples(const PictureFile& file, const Header& h, StoredPicture& picture) {
  picture.allocate();
  FileStream stream(file);
  Imf::InputFile input(stream, 0);  // no threads of its own
  const Imath::Box2i& window = input.header().dataWindow();
  if (std::int64_t{window.max.x} - window.min.x + 1 != picture.width ||
      std::int64_t{window.max.y} - window.min.y + 1 != picture.height)
    throw std::runtime_error("two sizes");
  Imf::FrameBuffer buffer;
  const auto add = [&](const char* name, int channel) {
    const Imf::Channel* stored = input.header().channels().findChannel(name);
    if (stored == nullptr)
      return;
    if (stored->type == Imf::UINT)
      throw std::runtime_error("numbers that are no light");
    buffer.insert(
        name, Imf::Slice::Make(
                  Imf::FLOAT, picture.samples.data() + static_cast<std::size_t>(channel) * sizeof(float),
                  window, sizeof(float) * static_cast<std::size_t>(picture.channels()), picture.row_bytes()));
  };
  if (h.channels.colour()) {
    add("R", 0);
    add("G", 1);
    add("B", 2);
  } else {
    add("Y", 0);
  }
  if (picture.alpha)
    add("A", picture.channels() - 1);
  input.setFrameBuffer(buffer);
  input.readPixels(window.min.y, window.max.y);
}

}  // namespace

StoredPicture decode_openexr(const PictureFile& file, const PictureLimits& limits) {
  const Header h = read_header(file);
  if (!h.has_window || h.width < 0 || h.height < 0)
    refuse_damaged(file.path, "its width and height are missing");
  check_size(file.path, static_cast<std::uint64_t>(h.width), static_cast<std::uint64_t>(h.height), limits);
  const std::uint32_t flags = little_endian_32(file.bytes, version_at);
  if ((flags & deep_flag) != 0)
    refuse_kind(file.path, "an OpenEXR picture with samples at many depths");
  if (!h.channels.colour() && !h.channels.luminance)
    refuse_kind(file.path, "an OpenEXR picture without channels named R, G, B or Y");
  if (h.channels.sampled || (h.channels.chroma && !h.channels.colour()))
    refuse_kind(file.path, "an OpenEXR picture with colours at less than its full size");

  StoredPicture picture;
  picture.width = static_cast<int>(h.width);
  picture.height = static_cast<int>(h.height);
  picture.model = h.channels.colour() ? ColourModel::rgb : ColourModel::grey;
  picture.kind = SampleKind::real;
  picture.alpha = h.channels.alpha;
  picture.colour = h.colour;
  if ((flags & multipart_flag) != 0)
    picture.notes.emplace_back("several parts: the first one is taken");
  try {
    read_samples(file, h, picture);
  } catch (const std::bad_alloc&) {
    throw;
  } catch (const std::exception&) {  // the library's own, and ours above
    refuse_given_up(file.path);
  }
  if (picture.alpha)
    divide_by_alpha(picture);
  cut_to_white(picture);
  return picture;
}

}  // namespace powderplan
