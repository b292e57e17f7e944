//! What nobody examined, and what was said of each part.

messages! {
    SILENCES;

    // What is claimed of it, and the headings.
    silent_claims();
    silence_not_examined();
    silence_nothing();
    silence_nothing_about();
    silence_not_judged();
    silence_not_judged_about();
    silence_not_settled();
    silence_not_settled_about();
    silence_not_seen();
    silence_not_tested();
    silence_tested_in_part();
    silence_not_pictured();
    silence_taken_out();
    silence_taken_out_about();

    // Why, of parts and findings.
    why_not_told();
    why_in_note(photo);
    why_only_tests(findings);
    why_told_there();
    why_only(findings);
    why_nothing();
    why_repaired_then_repair();
    why_repair_then_nothing();
    since_noted(since, notes);
    why_no_mark_on(day);
    why_gone_since(day, since);
    why_repaired_since(day, since);
    why_there_since(day, since);
    view_with(view, pictures);

    // Why, of tests.
    test_species();
    test_wiring();
    test_coat();
    test_coat_mind(seen, mind);
    test_coat_paint(seen);
    test_coat_seen(seen);
    coat_seen(what, part, photo);
    coat_seen_somewhere(what, photo);
    test_lead();
    test_lead_noted(day, repair, result);
    test_lead_untold(day, repair, result);
    test_joints();
    test_joints_opened(opened);
    work_at(part, repair, day);
    test_filling();
    test_filling_all(opened);
    test_filling_some(opened);
    test_tipping_fall();
    test_tipping_drawers();
    test_tipping();

    // Part by part.
    parts_silences();
    parts_schedule();
    parts_state();
    parts_name();
    counts_all(number);
    counts_none();
    counts_one(all, what);
    counts_many(all, groups);
    counts_group(number, what);
    counts_besides(faults, clean);
    also_said(now, before);
    word_absent();
    word_not_examined();
    word_sound();
    said_on(word, day, photo);
    said_so(word, told);
    told_of_piece();
    told_of_piece_on(day, line);
    absent_beside(photo);
    absent_beside_wider(photo, part);
    absent_told(told);
    absent_told_wider(told, part);
    absent_since(day, photo, was, shown);
    sound_on(day, photo);
    sound_on_wider(day, photo, part);
    part_not_examined();
    part_otherwise_not_examined();
    as_written_of(said, part);
    part_unjudged();
    part_silent();
    on_record(said, counts);
    from_before(said, counts);
}
