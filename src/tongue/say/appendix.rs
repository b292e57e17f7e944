//! How to know the piece again, how to check the report, and its pictures.

messages! {
    APPENDIX;

    // A draft, and what of it is in English.
    draft_rely();
    draft_not_issued();
    english_sections(sections);
    english_since();
    english_todo();

    // How to know it again.
    sellers_words();
    sides();
    claims_borne();
    label_read(part, note, photo);
    label_seen(part, photo);
    label_none(part, day, photo);

    // How to check it.
    check_digest();
    check_clock();
    check_how();
    seal_newest_draft(no, day, size, lines, root);
    seal_newest_edition(no, day, size, lines, root);
    seal_all_lines(lines);
    seal_some_lines(covers, lines);
    seal_none_draft();
    seal_none_edition();
    seal_stamped(at);
    seal_unstamped();
    sealed_no_draft();
    sealed_copy_folder();
    sealed_copy_file();
    sealed_file();
    sealed_folder();

    // The pictures.
    pictures_made();
    pictures_kept();
    view_unnamed();
    at_time(day, hour, minute);
    zone_unknown();
    time_corrected(taken, off, claimed);
    scale_thing(width, height);
    scale_length(width);
    photo_dark(mean);
    photo_black(percent);
    photo_blurred(sharp, middle);
    photo_blurred_alone(sharp);
    photo_small(width, height, covers);
    photo_preview();
    photo_preview_small(width, height);
    photo_same(no, bits);
    photo_burst(no, seconds, bits);
    photo_no_time_import();
    photo_no_time_shoot();
    photo_future(taken, imported);
    photo_earlier(hours, no);
    photo_later(hours, no);
    photo_copy();
    photo_cut_off();
    photo_damaged(why);
    photo_orientation(value);
    photo_facts_unread(why);
    photo_facts_twice();
    photo_program();
    photo_program_named(program);
    photo_satellites(camera, satellite);
    photo_stored(taken, stored);
    photo_changed(taken, changed);
    photo_thumbnail(bits);
    photo_standard(taken, edition, year);
    photo_original_gone();
    moved_taken_in(step);
    moved_put(step);
    moved_untold();
    moved_with(stage, day, line);
    moved_with_other(day, line);
}
