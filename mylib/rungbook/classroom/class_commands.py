"""`rungbook class …`: the commands of an instructor's week. Each parser names the function that runs it, in `run`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any


def add_class_commands(commands: Any) -> None:
    """Add the group `class` to the commands of a parser (what `add_subparsers` returned)."""
    group = commands.add_parser("class", help="the instructor's week: make a class, release, collect, mark, export")
    parts = group.add_subparsers(dest="part", required=True, metavar="WHAT")

    new = parts.add_parser("new", help="make a class folder with labs, students and due dates")
    new.add_argument("folder", type=Path, metavar="DIR", help="new or empty")
    new.add_argument(
        "--roster", required=True, type=Path, metavar="CSV", help="students: id, first_name, last_name, email"
    )
    new.add_argument("--labs", required=True, help="such as 01-07 or 1,3,5-7, or all")
    new.add_argument("--term", required=True, metavar="DAY", help="a day of the first week, such as 2026-09-07")
    new.add_argument("--weeks", help="the weeks of the term that have a lab, such as 1-5,7,8 (default: one a week)")
    new.add_argument("--due", default="Fri 23:59", help="when in its week a lab is due (default: 'Fri 23:59')")
    new.add_argument("--zone", help="time zone of the class, such as Europe/Berlin (default: this machine's)")
    new.set_defaults(run=_new)

    students = parts.add_parser("students", help="add students who joined, correct names; nobody is removed")
    students.add_argument("roster", type=Path, metavar="CSV", help="as for `class new`")
    in_class(students)
    students.set_defaults(run=_students)

    release = parts.add_parser("release", help="make what students get of a lab; again for those who joined since")
    release.add_argument("lab", metavar="LAB", help="such as lab02")
    release.add_argument("--variants", action="store_true", help="to each student a variant of their own")
    release.add_argument("--again", action="store_true", help="anew from the source, though it was released before")
    in_class(release)
    release.set_defaults(run=_release)

    collect = parts.add_parser(
        "collect",
        help="take in what was handed in, as it was downloaded; status 1 if something waits for you",
    )
    collect.add_argument("lab", metavar="LAB", help="such as lab02")
    collect.add_argument("given", type=Path, metavar="FOLDER|ZIP", help="the downloads; nothing in them is changed")
    collect.add_argument(
        "--pattern", metavar="REGEX", help="how paths tell a student: (?P<id>…), name, first, last, time, number"
    )
    collect.add_argument("--map", type=Path, metavar="CSV", help="columns file and student: settles what is not clear")
    collect.add_argument(
        "--no-file-times", action="store_true", help="a file's own time says nothing, such as after a download"
    )
    in_class(collect)
    collect.set_defaults(run=_collect)

    export = parts.add_parser("export", help="write the marks as a CSV file for another gradebook")
    export.add_argument("--to", required=True, type=Path, metavar="FILE", help="such as marks.csv")
    export.add_argument("--labs", default="all", help="such as 01-03 (default: all of the class)")
    export.add_argument("--profile", default="wide", help="wide, percent, exercises or long (default: wide)")
    export.add_argument(
        "--columns", help="instead: id,name,lab02,lab02:percent,lab02:status,lab02:late,total,… or 'Title=lab02'"
    )
    export.add_argument(
        "--missing",
        default="not handed in",
        metavar="TEXT",
        help="what stands for a lab that was not handed in",
    )
    export.add_argument("--replace", action="store_true", help="write over a file that holds something else")
    in_class(export)
    export.set_defaults(run=_export)

    mark = parts.add_parser("mark", help="mark what was handed in, each notebook apart from all else")
    mark.add_argument("lab", metavar="LAB", help="such as lab02")
    mark.add_argument("--workers", type=int, metavar="N", help="processes side by side (default: one a core)")
    mark.add_argument("--again", action="store_true", help="mark what has not changed, too")
    mark.add_argument("--cluster", metavar="ADDRESS", help="send the work to the Dask scheduler there")
    mark.add_argument(
        "--trust-submissions", action="store_true", help="run student work as yourself where it cannot be isolated"
    )
    in_class(mark)
    mark.set_defaults(run=_mark)

    remark = parts.add_parser("remark", help="mark one exercise anew after its test cell was corrected")
    remark.add_argument("lab", metavar="LAB", help="such as lab02")
    remark.add_argument(
        "--exercise", required=True, metavar="GRADE_ID", help="the test cell, such as lab02-words-marks"
    )
    remark.add_argument("--yes", action="store_true", help="write it; without this it is only said whose marks change")
    remark.add_argument("--workers", type=int, metavar="N", help="as for `class mark`")
    remark.add_argument("--trust-submissions", action="store_true", help="as for `class mark`")
    in_class(remark)
    remark.set_defaults(run=_remark)

    feedback = parts.add_parser("feedback", help="make the pages to hand back; status 1 if one had to be withheld")
    feedback.add_argument("lab", metavar="LAB", help="such as lab02")
    feedback.add_argument("--unread", action="store_true", help="also of students with answers that nobody has read")
    in_class(feedback)
    feedback.set_defaults(run=_feedback)

    report = parts.add_parser("report", help="write a page about a lab, or the term: aims, mistakes, difficulty")
    report.add_argument("lab", nargs="?", metavar="LAB", help="such as lab02")
    report.add_argument("--all", action="store_true", help="a page of each lab with marks, and one of the term")
    report.add_argument(
        "--threshold",
        type=float,
        default=60,
        metavar="PERCENT",
        help="of an aim's points, from which on a student has reached it (default: 60)",
    )
    in_class(report)
    report.set_defaults(run=_report)

    opens = parts.add_parser("open", help="open nbgrader's form grader on the class, to read written answers")
    opens.add_argument("more", nargs="*", metavar="ARG", help="arguments for jupyter lab, after --")
    in_class(opens)
    opens.set_defaults(run=_open)


def in_class(parser: argparse.ArgumentParser) -> None:
    """Give a command of the group the option that says which class it is about."""
    parser.add_argument(
        "--class", dest="place", type=Path, metavar="DIR", help="the class folder (default: here or above)"
    )


def _new(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import read_zone
    from rungbook.classroom.labs import find_labs, find_root
    from rungbook.classroom.new import new_class
    from rungbook.classroom.roster import read_roster
    from rungbook.classroom.term import choose_labs, due_dates, read_date, read_due, read_numbers

    zone = read_zone(options.zone)
    labs = choose_labs(find_labs(find_root()), options.labs)
    weeks = read_numbers("--weeks", options.weeks) if options.weeks else None
    due = due_dates(labs, read_date("--term", options.term), weeks, read_due(options.due), zone)
    students = read_roster(options.roster)
    new_class(options.folder, labs, students, due, options.zone)
    for lab in labs:
        print(f"{lab.name:<32}  due {due[lab.name].astimezone(zone):%a %Y-%m-%d %H:%M %Z}")
    print(f"class folder {options.folder}: {len(labs)} lab{'s' * (len(labs) != 1)}, {len(students)} students")
    return 0


def _students(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.new import add_students
    from rungbook.classroom.roster import read_roster

    new, changed = add_students(find_class(options.place), read_roster(options.roster))
    print(f"{new} new, {changed} corrected")
    return 0


def _release(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.release import release

    place = find_class(options.place)
    done = release(place, place.lab(options.lab), options.variants, options.again)
    kind = f"{done.variants} different variants" if done.varied else "the same for all"
    print(f"{done.lab.name}: released to {len(done.students)} students, {len(done.new)} of them new; {kind}")
    print(f"for all         {done.zips / done.lab.name}.zip")
    print(f"for each        {done.zips / 'students'}/STUDENT.zip")
    if done.varied:
        print(f"secret          {place.secret} (keep it with the class; whoever has it can tell every variant)")
        print("mark with       rungbook class mark (plain nbgrader knows only the lab as it stands)")
    return 0


def _collect(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.collecting.collect import collect
    from rungbook.classroom.collecting.table import report

    place = find_class(options.place)
    lab = place.lab(options.lab)
    done = collect(place, lab, options.given, options.pattern, options.map, not options.no_file_times)
    print(report(done, lab, place.zone()))
    return 1 if done.waiting else 0


def _export(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.export import export
    from rungbook.classroom.term import choose_labs

    place = find_class(options.place)
    labs = choose_labs(place.labs(), options.labs)
    done = export(place, options.to, labs, options.profile, options.columns, options.missing, options.replace)
    print(f"written: {done.path}, {done.rows} rows, {done.columns} columns")
    print(f"{done.missing} not handed in, {done.unmarked} not marked yet, {done.waiting} not final (as they stand)")
    return 0


def _mark(options: argparse.Namespace) -> int:
    from rungbook.classroom.marking.command import mark

    return mark(options)


def _remark(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.marking.engine import How
    from rungbook.classroom.remark import remark

    place = find_class(options.place)
    how = How(options.workers, again=True, trusted=options.trust_submissions)
    changes = remark(place, place.lab(options.lab), options.exercise, how, options.yes)
    print("\n".join(change.told for change in changes) or "no mark changes")
    if changes:
        print("written" if options.yes else "nothing is written; --yes writes it")
    return 0


def _feedback(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.feedback import hand_back

    place = find_class(options.place)
    done = hand_back(place, place.lab(options.lab), options.unread)
    print(f"{len(done.students)} pages, to hand back: {done.folder}")
    if done.waiting:
        told = "handed back with 0 points so far" if options.unread else "not handed back"
        print(f"wait for a reader, {told}: {', '.join(done.waiting)}")
    for student, why in done.withheld.items():
        print(f"withheld: {student}, {why}")
    return 1 if done.withheld else 0


def _open(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.form_grader import open_form_grader

    return open_form_grader(find_class(options.place), options.more)


def _report(options: argparse.Namespace) -> int:
    from rungbook.classroom.class_folder import find_class
    from rungbook.classroom.reporting.report import report_lab, report_term
    from rungbook.errors import LadderError

    place = find_class(options.place)
    if (options.lab is None) != options.all:
        raise LadderError("report", "is about a lab or, with --all, about all", options.lab or "")
    if options.lab:
        print(*(f"written: {path}" for path in report_lab(place, place.lab(options.lab), options.threshold)), sep="\n")
        return 0
    print(*(f"written: {path}" for path in report_term(place, options.threshold)), sep="\n")
    for lab in place.labs():
        if any((place.root / "autograded").glob(f"*/{lab.name}/{lab.short}.ipynb")):
            print(*(f"written: {path}" for path in report_lab(place, lab, options.threshold)), sep="\n")
    return 0
