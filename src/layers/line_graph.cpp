#include "layers/line_graph.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>
#include <optional>

namespace powderplan {
namespace {

// Two junctions whose discs nearly touch are one: at so many times the sum of their radii. So are two much
// farther apart when at neither one of the other branches goes on into another: two lines that cross at a
// narrow angle run together between them.
constexpr double touching = 1.2, together = 6;
// A branch with a free end stays when it leaves the disc of its junction by more than this share of its
// radius and this many points: rough edges and the corners of a blunt end do not.
constexpr double spur_share = 0.5, spur_points = 1.0;
// A branch's direction is taken over so many points, from the edge of its junction on.
constexpr double direction_reach = 8;

struct Pixel {
  int x = 0, y = 0;
};

double distance(const PointMm& a, const PointMm& b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}

double length_of(const std::vector<PointMm>& points) {
  double sum = 0;
  for (std::size_t i = 1; i < points.size(); ++i)
    sum += distance(points[i - 1], points[i]);
  return sum;
}

struct Node {
  PointMm middle;
  double radius = 0;  // of the largest disc in the stroke round its points
};

struct Branch {
  std::array<std::size_t, 2> node{};  // where it begins and ends
  std::vector<PointMm> points;        // the nodes' own included
  bool alive = true;
};

// Links of a skeleton: to all straight neighbours, and to diagonal ones that no straight neighbour leads to.
class Links {
 public:
  explicit Links(const Image<std::uint8_t>& skeleton) : skeleton_(skeleton) {}
  [[nodiscard]] bool on(int x, int y) const {
    return x >= 0 && y >= 0 && x < skeleton_.width() && y < skeleton_.height() && skeleton_.at(x, y) != 0;
  }
  template <class Visit>
  void for_each(Pixel p, Visit&& visit) const {
    const bool north = on(p.x, p.y - 1), south = on(p.x, p.y + 1), west = on(p.x - 1, p.y),
               east = on(p.x + 1, p.y);
    if (north)
      visit(Pixel{p.x, p.y - 1});
    if (east)
      visit(Pixel{p.x + 1, p.y});
    if (south)
      visit(Pixel{p.x, p.y + 1});
    if (west)
      visit(Pixel{p.x - 1, p.y});
    if (!north && !east && on(p.x + 1, p.y - 1))
      visit(Pixel{p.x + 1, p.y - 1});
    if (!south && !east && on(p.x + 1, p.y + 1))
      visit(Pixel{p.x + 1, p.y + 1});
    if (!south && !west && on(p.x - 1, p.y + 1))
      visit(Pixel{p.x - 1, p.y + 1});
    if (!north && !west && on(p.x - 1, p.y - 1))
      visit(Pixel{p.x - 1, p.y - 1});
  }
  [[nodiscard]] int count(Pixel p) const {
    int links = 0;
    for_each(p, [&](Pixel) { ++links; });
    return links;
  }

 private:
  const Image<std::uint8_t>& skeleton_;
};

constexpr int no_node = -1;

struct Graph {
  std::vector<Node> nodes;
  std::vector<Branch> branches;
  std::vector<std::vector<PointMm>> rings;  // lines that meet nothing
};

PointMm middle_of(Pixel p) {
  return {static_cast<double>(p.x), static_cast<double>(p.y)};
}

// Every point that is not in the middle of a line belongs to a node; neighbouring junction points to one.
Image<int> number_nodes(const Image<std::uint8_t>& skeleton, const Links& links, const cv::Mat& depth,
                        Graph& graph) {
  Image<int> node_at(skeleton.width(), skeleton.height(), no_node);
  std::vector<Pixel> cluster;
  for (int y = 0; y < skeleton.height(); ++y) {
    for (int x = 0; x < skeleton.width(); ++x) {
      if (skeleton.at(x, y) == 0 || node_at.at(x, y) != no_node)
        continue;
      const int count = links.count({x, y});
      if (count == 2)
        continue;
      const int id = static_cast<int>(graph.nodes.size());
      cluster.assign(1, {x, y});
      node_at.at(x, y) = id;
      for (std::size_t i = 0; count > 2 && i < cluster.size(); ++i) {
        links.for_each(cluster[i], [&](Pixel next) {
          if (node_at.at(next.x, next.y) == no_node && links.count(next) > 2) {
            node_at.at(next.x, next.y) = id;
            cluster.push_back(next);
          }
        });
      }
      Node node;
      for (const Pixel& p : cluster) {
        node.middle.x += p.x / static_cast<double>(cluster.size());
        node.middle.y += p.y / static_cast<double>(cluster.size());
        node.radius = std::max(node.radius, static_cast<double>(depth.at<float>(p.y, p.x)));
      }
      graph.nodes.push_back(node);
    }
  }
  return node_at;
}

Graph graph_of(const Image<std::uint8_t>& skeleton, const cv::Mat& depth) {
  const Links links(skeleton);
  Graph graph;
  const Image<int> node_at = number_nodes(skeleton, links, depth, graph);
  Image<std::uint8_t> seen(skeleton.width(), skeleton.height());
  // From a point of a node along a line to the next node.
  const auto follow = [&](Pixel from, Pixel at) {
    std::vector<PointMm> points{middle_of(at)};
    while (node_at.at(at.x, at.y) == no_node) {
      seen.at(at.x, at.y) = 1;
      std::optional<Pixel> next;
      links.for_each(at, [&](Pixel p) {
        if ((p.x != from.x || p.y != from.y) && !next)
          next = p;
      });
      from = at;
      at = *next;
      points.push_back(middle_of(at));
    }
    return std::pair{points, node_at.at(at.x, at.y)};
  };
  for (int y = 0; y < skeleton.height(); ++y) {
    for (int x = 0; x < skeleton.width(); ++x) {
      if (skeleton.at(x, y) == 0 || node_at.at(x, y) == no_node)
        continue;
      const int id = node_at.at(x, y);
      links.for_each({x, y}, [&](Pixel next) {
        const int other = node_at.at(next.x, next.y);
        const bool direct = other != no_node;
        // Between neighbouring nodes once; along a line only where nobody has come from the other end.
        if (direct ? other <= id : seen.at(next.x, next.y) != 0)
          return;
        Branch branch;
        auto [points, end] = follow({x, y}, next);
        branch.node = {static_cast<std::size_t>(id), static_cast<std::size_t>(end)};
        branch.points.push_back(middle_of({x, y}));
        branch.points.insert(branch.points.end(), points.begin(), points.end());
        graph.branches.push_back(std::move(branch));
      });
    }
  }
  for (int y = 0; y < skeleton.height(); ++y) {
    for (int x = 0; x < skeleton.width(); ++x) {
      if (skeleton.at(x, y) == 0 || node_at.at(x, y) != no_node || seen.at(x, y) != 0)
        continue;
      std::vector<PointMm> ring;
      std::optional<Pixel> at = Pixel{x, y};
      while (at) {
        seen.at(at->x, at->y) = 1;
        ring.push_back(middle_of(*at));
        std::optional<Pixel> next;
        links.for_each(*at, [&](Pixel p) {
          if (seen.at(p.x, p.y) == 0 && !next)
            next = p;
        });
        at = next;
      }
      graph.rings.push_back(std::move(ring));
    }
  }
  return graph;
}

// Which ends of which branches are at each node: 2 * branch + (0: it begins there, 1: it ends there).
std::vector<std::vector<std::size_t>> ends_at(const Graph& graph) {
  std::vector<std::vector<std::size_t>> ends(graph.nodes.size());
  for (std::size_t i = 0; i < graph.branches.size(); ++i) {
    for (std::size_t side = 0; side < 2 && graph.branches[i].alive; ++side)
      ends[graph.branches[i].node[side]].push_back(2 * i + side);
  }
  return ends;
}

// Takes away branches with a free end that hardly leave the stroke they come from. True when one went.
bool prune(Graph& graph) {
  const auto ends = ends_at(graph);
  bool any = false;
  for (std::size_t n = 0; n < graph.nodes.size(); ++n) {
    if (ends[n].size() < 3)
      continue;
    std::vector<std::size_t> spurs;
    for (const std::size_t end : ends[n]) {
      const Branch& branch = graph.branches[end / 2];
      const std::size_t tip = branch.node[1 - end % 2];
      const double radius = graph.nodes[n].radius;
      const double beyond = length_of(branch.points) + graph.nodes[tip].radius - radius;
      if (ends[tip].size() == 1 && beyond <= spur_share * radius + spur_points)
        spurs.push_back(end / 2);
    }
    std::stable_sort(spurs.begin(), spurs.end(), [&](std::size_t a, std::size_t b) {
      return length_of(graph.branches[a].points) < length_of(graph.branches[b].points);
    });
    // A blob is all spurs: its two longest stay.
    const std::size_t most = spurs.size() == ends[n].size() ? spurs.size() - 2 : spurs.size();
    for (std::size_t i = 0; i < most; ++i) {
      graph.branches[spurs[i]].alive = false;
      any = true;
    }
  }
  return any;
}

// Makes one branch of two that meet where nothing else does.
void merge_through(Graph& graph) {
  auto ends = ends_at(graph);
  for (std::size_t n = 0; n < graph.nodes.size(); ++n) {
    if (ends[n].size() != 2)
      continue;
    const std::size_t a = ends[n][0] / 2, b = ends[n][1] / 2;
    Branch &first = graph.branches[a], &second = graph.branches[b];
    if (a == b) {  // a ring with one node
      first.points.pop_back();
      graph.rings.push_back(std::move(first.points));
      first.alive = false;
      ends[n].clear();
      continue;
    }
    if (ends[n][0] % 2 == 0)
      std::reverse(first.points.begin(), first.points.end());
    const std::size_t begin = first.node[1 - ends[n][0] % 2], end = second.node[1 - ends[n][1] % 2];
    if (ends[n][1] % 2 == 1)
      std::reverse(second.points.begin(), second.points.end());
    // Now the first ends here and the second begins here.
    first.points.insert(first.points.end(), second.points.begin(), second.points.end());
    second.alive = false;
    first.node = {begin, end};
    std::erase(ends[begin], 2 * a + 1);
    std::erase(ends[begin], 2 * a);
    std::erase(ends[end], 2 * b);
    std::erase(ends[end], 2 * b + 1);
    ends[begin].push_back(2 * a);
    ends[end].push_back(2 * a + 1);
    ends[n].clear();
  }
}

std::size_t root_of(std::vector<std::size_t>& parent, std::size_t n) {
  while (parent[n] != n) {
    parent[n] = parent[parent[n]];
    n = parent[n];
  }
  return n;
}

// The branch as seen from one of its ends.
std::vector<PointMm> from_end(const Branch& branch, std::size_t side) {
  std::vector<PointMm> points = branch.points;
  if (side == 1)
    std::reverse(points.begin(), points.end());
  return points;
}

// Index of the first point outside the node's disc; at least one point before the last stays.
std::size_t first_outside(const std::vector<PointMm>& points, const Node& node, std::size_t most) {
  std::size_t i = 0;
  while (i < most && distance(points[i], node.middle) < node.radius + 1)
    ++i;
  return i;
}

PointMm direction_from(const std::vector<PointMm>& points, const Node& node) {
  const std::size_t begin = first_outside(points, node, points.size() - 1);
  std::size_t end = begin;
  while (end + 1 < points.size() && distance(points[begin], points[end]) < direction_reach)
    ++end;
  PointMm from = points[begin];
  if (end <= begin + 1)
    from = node.middle;
  const double length = distance(from, points[end]);
  if (length <= 0)
    return {0, 0};
  return {(points[end].x - from.x) / length, (points[end].y - from.y) / length};
}

double cosine(double degrees) {
  return std::cos(degrees * std::numbers::pi / 180);
}

// Whether two of the branches at a node, other than `bridge`, go on into each other.
bool has_straight_pair(const Graph& graph, const std::vector<std::size_t>& ends, std::size_t bridge,
                       double most_turn_deg) {
  std::vector<PointMm> away;
  for (const std::size_t end : ends) {
    const Branch& branch = graph.branches[end / 2];
    if (end / 2 != bridge)
      away.push_back(direction_from(from_end(branch, end % 2), graph.nodes[branch.node[end % 2]]));
  }
  for (std::size_t i = 0; i < away.size(); ++i) {
    for (std::size_t j = i + 1; j < away.size(); ++j) {
      if (-(away[i].x * away[j].x + away[i].y * away[j].y) >= cosine(most_turn_deg))
        return true;
    }
  }
  return false;
}

// Junctions that are one: for each node the first of its group. Branches inside a group die.
std::vector<std::size_t> group_junctions(Graph& graph, double most_turn_deg) {
  const auto ends = ends_at(graph);
  std::vector<std::size_t> parent(graph.nodes.size());
  std::iota(parent.begin(), parent.end(), std::size_t{0});
  std::vector<std::size_t> inside;
  for (std::size_t i = 0; i < graph.branches.size(); ++i) {
    const Branch& branch = graph.branches[i];
    const auto [a, b] = branch.node;
    if (!branch.alive || a == b || ends[a].size() < 3 || ends[b].size() < 3)
      continue;
    const double length = length_of(branch.points), discs = graph.nodes[a].radius + graph.nodes[b].radius;
    const bool one = length <= touching * discs ||
                     (length <= together * discs && ends[a].size() == 3 && ends[b].size() == 3 &&
                      !has_straight_pair(graph, ends[a], i, most_turn_deg) &&
                      !has_straight_pair(graph, ends[b], i, most_turn_deg));
    if (one) {
      inside.push_back(i);
      const std::size_t ra = root_of(parent, a), rb = root_of(parent, b);
      parent[std::max(ra, rb)] = std::min(ra, rb);
    }
  }
  for (const std::size_t i : inside)
    graph.branches[i].alive = false;
  std::vector<std::size_t> group(graph.nodes.size());
  for (std::size_t n = 0; n < group.size(); ++n)
    group[n] = root_of(parent, n);
  return group;
}

}  // namespace

std::vector<Chain> chains_of(const Image<std::uint8_t>& skeleton, const cv::Mat& depth,
                             double most_turn_deg) {
  Graph graph = graph_of(skeleton, depth);
  while (prune(graph))
    merge_through(graph);
  merge_through(graph);
  const auto degree = ends_at(graph);
  std::vector<bool> was_free(graph.nodes.size());
  for (std::size_t n = 0; n < was_free.size(); ++n)
    was_free[n] = degree[n].size() == 1;
  const std::vector<std::size_t> group = group_junctions(graph, most_turn_deg);

  // Who goes on into whom.
  constexpr std::size_t nobody = static_cast<std::size_t>(-1);
  std::vector<std::size_t> onward(2 * graph.branches.size(), nobody);
  std::vector<std::vector<std::size_t>> meeting(graph.nodes.size());
  for (std::size_t i = 0; i < graph.branches.size(); ++i) {
    for (std::size_t side = 0; side < 2 && graph.branches[i].alive; ++side)
      meeting[group[graph.branches[i].node[side]]].push_back(2 * i + side);
  }
  for (const std::vector<std::size_t>& ends : meeting) {
    struct Pair {
      double straightness;
      std::size_t a, b;
    };
    std::vector<Pair> pairs;
    std::vector<PointMm> away;
    for (const std::size_t end : ends) {
      const Branch& branch = graph.branches[end / 2];
      away.push_back(direction_from(from_end(branch, end % 2), graph.nodes[branch.node[end % 2]]));
    }
    for (std::size_t i = 0; i < ends.size(); ++i) {
      for (std::size_t j = i + 1; j < ends.size(); ++j) {
        const double straightness = -(away[i].x * away[j].x + away[i].y * away[j].y);
        if (straightness >= cosine(most_turn_deg))
          pairs.push_back({straightness, ends[i], ends[j]});
      }
    }
    std::stable_sort(pairs.begin(), pairs.end(),
                     [](const Pair& a, const Pair& b) { return a.straightness > b.straightness; });
    for (const Pair& pair : pairs) {
      if (onward[pair.a] == nobody && onward[pair.b] == nobody) {
        onward[pair.a] = pair.b;
        onward[pair.b] = pair.a;
      }
    }
  }

  std::vector<Chain> chains;
  std::vector<bool> used(graph.branches.size());
  // Walks from one end of a branch along all that follows it.
  const auto walk = [&](std::size_t start) {
    Chain chain;
    chain.free_start = was_free[graph.branches[start / 2].node[start % 2]];
    std::size_t end = start;
    for (;;) {
      const Branch& branch = graph.branches[end / 2];
      used[end / 2] = true;
      const std::size_t side = end % 2;
      const Node &here = graph.nodes[branch.node[side]], &there = graph.nodes[branch.node[1 - side]];
      const bool here_free = was_free[branch.node[side]], there_free = was_free[branch.node[1 - side]];
      std::vector<PointMm> points = from_end(branch, side);
      std::size_t first = here_free ? 0 : first_outside(points, here, points.size() / 2);
      std::vector<PointMm> backwards(points.rbegin(), points.rend());
      const std::size_t last =
          points.size() - (there_free ? 0 : first_outside(backwards, there, points.size() / 2));
      if (first >= last)
        first = last > 0 ? last - 1 : 0;
      if (onward[end] == nobody && !here_free) {  // begins on another line
        chain.points.push_back(here.middle);
        chain.measurable.push_back(false);
      }
      for (std::size_t i = first; i < std::max(last, first + 1); ++i) {
        chain.points.push_back(points[i]);
        chain.measurable.push_back(true);
      }
      const std::size_t other = 2 * (end / 2) + (1 - side);
      if (onward[other] == nobody) {
        if (!there_free) {
          chain.points.push_back(there.middle);
          chain.measurable.push_back(false);
        }
        chain.free_end = there_free;
        break;
      }
      end = onward[other];
      if (used[end / 2]) {
        chain.closed = true;
        chain.free_start = false;
        break;
      }
    }
    chains.push_back(std::move(chain));
  };
  for (int round = 0; round < 2; ++round) {  // open chains first, then those that are rings
    for (std::size_t i = 0; i < graph.branches.size(); ++i) {
      for (std::size_t side = 0; side < 2; ++side) {
        if (graph.branches[i].alive && !used[i] && (round == 1 || onward[2 * i + side] == nobody))
          walk(2 * i + side);
      }
    }
  }
  for (std::vector<PointMm>& ring : graph.rings) {
    Chain chain;
    chain.measurable.assign(ring.size(), true);
    chain.points = std::move(ring);
    chain.closed = chain.points.size() > 2;
    chains.push_back(std::move(chain));
  }
  // Single points.
  for (std::size_t n = 0; n < graph.nodes.size(); ++n) {
    if (degree[n].empty() && graph.nodes[n].radius > 0 &&
        skeleton.at(static_cast<int>(graph.nodes[n].middle.x), static_cast<int>(graph.nodes[n].middle.y)) !=
            0 &&
        std::none_of(graph.branches.begin(), graph.branches.end(),
                     [&](const Branch& b) { return b.node[0] == n || b.node[1] == n; }))
      chains.push_back({{graph.nodes[n].middle}, {true}, false, true, true});
  }
  return chains;
}

}  // namespace powderplan
