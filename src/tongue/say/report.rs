//! The condition report.

messages! {
    REPORT;

    // What stands on every report.
    report_skip();
    report_name();
    report_contents();
    report_title(no, title);
    report_title_draft(no, title);
    report_english(sections);
    edition(no, day);
    edition_draft(day);
    draft_stamp();
    no_cover();
    section_glance();
    section_drawn();
    section_state();
    section_changed();
    section_views();
    section_made();
    section_seen();
    section_unexamined();
    section_safety();
    section_method();
    section_what();
    section_check();
    section_parts();
    section_pictures();
    section_owner();

    // The head.
    made_for();
    made_for_buyer();
    made_for_owner();
    form();
    size();
    size_of(height, width, depth);
    size_taken();
    never_had();
    form_bought();
    of_a_set();
    weight();
    examined_by();
    pictures_name();
    not_recorded();
    shoot_counted(day, stage, number);
    not_yet();

    // In short.
    glance_use();
    glance_carry();
    glance_practice();
    glance_new();
    glance_not_examined(lacks);
    glance_why();
    glance_key();
    glance_code();
    findings_counted(number);
    group_open_levels(number, what, levels);
    group_levels(number, what, levels);
    group_only(number, what);
    group_besides(number, what);
    level_counted(number, level);
    level_lacks(number);
    after_sale_counted(number);
    worse_since_left(findings);
    again_since_left(findings);
    repairs_counted(number);
    repairs_counted_without(number, without);
    repair_without(no, method, on);
    repair_for_withdrawn(no, method, on, findings);
    lacks_named(lacks);
    parts_counted(number, counts);
    parts_with_findings(number);
    parts_with_findings_otherwise(number, of);
    parts_sound(number);
    parts_tested_clean(number);
    parts_absent(number);
    parts_not_examined(number);
    parts_unjudged(number);
    parts_silent(number);
    none();
    and_last(most, last);
    came_again(was, day);
    there_when_in(day);
    first_seen_on(day);
    seen_late(text);
    in_brief(findings);
    new_material(told);
    new_material_perhaps(told);
    new_material_on(on, what, repairs);
    new_material_untold(method);
    hides_by(text, no);
    views_not_taken(stages);
    views_taken_out(stage);
    at_doorstep();
    at_purchase();
    at_work();
    at_sale();
    at_handover();
    at_delivery();
    at_return();
    not_on_a_face();
    level_no(level);
}
