//! What is said of a piece on more than one paper.

messages! {
    RECORD;

    // Occasions.
    stage_doorstep();
    stage_purchase();
    stage_work();
    stage_sale();
    stage_handover();
    stage_delivery();
    stage_return();

    // What one mark says.
    mark_present();
    mark_repaired();
    mark_better();
    mark_worse();
    mark_gone();
    mark_not_visible();
    mark_not_examined();

    // Groups of findings.
    group_open();
    group_not_seen_since();
    group_hidden();
    group_traces();
    group_repaired();
    group_repair_unseen();
    group_cleared();
    group_cleared_in_part();
    group_not_found();
    group_gone();
    group_untold();
    group_alone(group);
    group_with(group, each);
    unseen_not_examined(numbers);
    unseen_nothing_said(numbers);
    unseen_not_to_be_told(numbers);
    unseen_looked_for(numbers);
    unseen_said_repaired(numbers);
    group_counted(group, number);

    // A finding, a part, a place.
    finding_named(no, term, placed);
    finding_placed(part, which);
    finding_at(term, placed);
    no_longer_marked();

    // What became of a finding.
    seen_once(day);
    some_seen_once(numbers);
    last_seen(state, day);
    found_on(state, day);
    is_there_again(relapse, day);
    was_repaired(day, work);
    was_gone(day, work);
    was_repaired_only(day);
    was_repaired_left(day, work, measure);
    was_repaired_only_left(day, measure);
    was_gone_only(day);
    there_again_on(day);
    day(day);
    again_since(first, last);
    again_worse(first, last);
    again_less(first, last);
    last_seen_there(day, stage);
    last_seen_after_repair(day, stage, repair);
    not_settled(since);
    still_after_repair(repair);
    more_than_at_first();
    less_than_at_first();
    was_gone_is_again();
    was_repaired_is_again();
    seen_repaired_untold();
    repair_untold();
    repaired_and_gone();
    looked_no_longer();
    not_settled_cannot_show();
    repaired();
    repaired_traces();
    withdrawn();
    no_repair();
    work_between(repairs);
    with_picture(state, photo);
    covered_by(number, repairs);
    covered_seen(number, repairs);

    // Repairs by number.
    repair_no(no);
    repairs_no(numbers);
    run(first, last);

    // Looks that do not tell.
    not_examined_on(day);
    nothing_seen_on(day);
    said_repaired_on(day);
    not_told_from_pictures(day);
    silent_look(photo, day);
    quiet_not_examined(day);
    quiet_look(day, photo);
    no_picture_of_part(part, day);
    picture_unsaid(photo, day);
    pictures_unsaid(photos, day);

    // What was done that left it as it was.
    did_tested(day, repair);
    did_watched(day, repair);
    did_covered(day, repair);
    did_nothing(day, repair);
    did_treated(day, repair);
    did_result_not_told(did);
    did_result_in_note(did);
    no_clean_watch();
    clean_watches(told, of);

    // Where a finding came from.
    origin_found();
    origin_by_work();
    origin_between_looks();
    origin_after_sale();
    origin_unknown();
    picture_of(photo, day);
    picture_of_stage(picture, stage);
    pictures_some(photos, day, stage);
    pictures_more(photos, day, stage);
    pictures_listed(number, pictures);
    why_looked_not_found(at);
    why_no_mark();
    why_no_picture();
    why_looked_then_seen(at, seen);
    why_first_is_repaired(seen);
    why_work_older(seen, work, day);
    why_work_same_day(seen, work);
    why_own_work_same_day(seen, work, part);
    why_before_work_on(seen, part);
    why_before_work(seen);
    work_for_it(repair);
    work_on(repair, part);
    own_repair_before(repair, day);
    why_no_sound_before_work(seen, part);
    why_by_work(sound, seen, repair, day);
    same_day_work(work, day);
    why_between(from, to, sound, seen);
    why_after_sale(seen, rests);
    why_not_shown_at_sale(seen, part);
    part_in_some(part, pictures);
    part_unmarked_in(part, pictures);
    later_in(pictures);
    lies_whole(photo, day, px);
    lies_unmarked(lies);
    weak_all(photo, day, px, angle);
    weak_part(photo, day, px, angle);
    part_not_examined_on(part, day);
    says_sound(photo, day, part);
    says_sound_wider(photo, day, whole, part);

    // Levels and measures.
    level_trace();
    level_visible();
    level_heavy();
    level_failing();
    not_measured();
    measured_on(size, day);
    with_level(size, level, name);
    without_level(size);
    before(extent);
    before_remains(extent, now);

    // What was not examined.
    lack_parts(number);
    lack_parts_otherwise(number);
    lack_silent_parts(number);
    lack_unjudged_parts(number);
    lack_findings(number);
    lack_findings_since(number);
    lack_tests(number);
    lack_tests_in_part(number);
    lack_views(number);
    lack_views_out(number);
    lacks_and_parts(counted, parts);
    tested_partly(tested, rest);
    tested_one_place();
    rest_coat();
    rest_paint(parts);
    rest_paint_and_coat(parts);
    below_tested(part);
    test_found(part, finding);
    test_found_none(part, finding);
    test_found_none_there(part, finding);
    beyond_findings(part);
    part_with_inner(part, inner);
    part_inner(part, inner);

    // Notes and pictures.
    note(text);
    dated_note(day, note);
    note_of(note, day);
    word_at(text, photo);
    picture(photo);
    pictures(photos);
    claims_unshown();
    title_unshown(title);

    // The drawing.
    drawing_label();
    pins_only();
    pins_shapes();
    pins_both();
    plan_to_scale();
    plan_not_to_scale();
    plan_absent(parts);
    plan_drawer(no);
    plan_drawers();
    plan_unseen();
    pin_label(no, term, placed, state);
    or_else(first, other);

    // Repairs as told.
    repair_told(no, day, method);
    repair_note(text);
    repair_material(text);
    repair_hides(heading, text);
    hides();
    repair_on(parts);
    whole_piece();
    within(part);

    // What the record had and has no more.
    notes_unread(number);
    findings_withdrawn(number, findings);
    picture_out(photo, stage, day, out);
    reason_given(why);
    went_with_it(findings);
    went_and_told(went, findings);
    told_of(findings);
    finding_said(no, state);

    // Use and carrying.
    colon(title);
    nothing_there();
    failing_none();
    failing_some(findings);
    levels_lack(number);
    untried(findings);
    heavy_remains(findings);
    at_level(no, level, name);
    insects_may_live(findings);
    watch_untold(findings);
    lead_found(findings);
    lead_found_there(findings);
    lead_loose_too(findings, loose);
    lead_possible(findings);
    lead_untested(findings);
    repair_poison(repair, day, text);
    see_safety(text);
    carry_heavy_see();
    carry_gilded_frame();
    carry_by_one();
    carry_loose_both();
    carry_loose_drawers();
    carry_loose_shelves();
    carry_two();
    carry_two_top();
    carry_two_legs();
    carry_two_top_legs();
    carry_more();
    carry_more_top();
    carry_more_legs();
    carry_more_top_legs();
    carry_gilding_packed();
    carry_press(findings);
    carry_unexamined();
    carry_insects(findings);
    carry_lead(findings);
    last_coat(coated, free);
    fault_level(finding, level, standing);
    fault_no_level(finding, standing);
    repaired_not_tried();
    part_not_there(part);
    not_there(parts);
    not_until_tried();
}
