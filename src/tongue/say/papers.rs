//! The sheet for handing over, labels, letter and invoice line.

messages! {
    PAPERS;

    // The sheet for handing over.
    code_label();
    sheet_title(no);
    sheet_printed(day);
    seal_named(no, day);
    sheet_wrong_now();
    sheet_use();
    sheet_carry();
    sheet_common_practice();
    sheet_numbered();
    sheet_no_finding();
    sheet_repairs();
    sheet_not_examined();
    sheet_tests(tests);
    sheet_part_tested(test, told);
    sheet_parts_why(parts, why, photo);
    sheet_seen_besides();
    sheet_seal(no);
    sheet_seal_holds();
    sheet_key();
    sheet_signing();
    sheet_by();
    sheet_to();
    sheet_to_whom();
    sheet_name();
    sheet_place();
    sheet_day();
    sheet_signature();
    sheet_copies();
    sheet_initials();
    sheet_quoted();
    sheet_line();
    on_record_already(looks);
    stage_on(stage, day);
    fault_line(no, term, placed, state);
    fault_line_measured(no, term, placed, measured, state);

    // Labels.
    labels_title();
    labels_sheet(number);
    label_key();

    // The letter and the invoice.
    letter_now(record);
    letter_before(number, record);
    letter_after(number, record);
    letter_record();
    letter_record_of(pieces);
    letter_piece(no, title);
    letter_keep(number);
    letter_lines(no, day, size);
    invoice_line(key);
}
