// What the worksheet says of glasses that darken against each other.
#include "report/bench_numbers.h"
#include "report/reaction_words.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {

void add_reactions(PageData& page, const PlanRecord& record, const PagePictures& pictures) {
  const std::vector<MarkedMeeting> marked = marked_meetings(record);
  page.set("any_reactions", !marked.empty());
  if (marked.empty())
    return;
  PageData rows(PageData::type::list);
  bool any_wish = false;
  for (const MarkedMeeting& pair : marked) {
    const Meeting& meeting = *pair.meeting;
    const std::string wish = wish_for(record, meeting.pair);
    any_wish = any_wish || !wish.empty();
    PageData row;
    row.set("letter", pair.letter);
    row.set("glasses", page_text(names_of(record, meeting.pair, Naming::names)));
    row.set("chemistry", page_text(spoken(meeting.pair.chemistry)));
    row.set("beside", meeting.border >= least_border_told ? shown(meeting.border) : "none");
    row.set("over", meeting.overlap_cm2 >= least_overlap_told_cm2 ? shown_area(meeting.overlap_cm2) : "none");
    row.set("asked", std::string(wish == "wish"    ? "wished for"
                                 : wish == "avoid" ? "to be avoided"
                                                   : "nothing"));
    rows.push_back(row);
  }
  page.set("reactions", rows);
  page.set("any_reaction_wish", any_wish);
  page.set("many_reactions", marked.size() > 9);
  page.set("reactions_picture", scaled_picture(record, pictures.reactions, "reactions",
                                               "Where glasses darken against each other"));
}

}  // namespace powderplan
