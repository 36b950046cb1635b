"""Named moments at which a test may raise or kill, to show that nothing is left half-done."""

from collections.abc import Callable

POINTS = (
    "issue_begun",
    "after_key",
    "after_number",
    "after_ruleset",
    "after_record_insert",
    "after_payloads",
    "after_search_row",
    "after_issue_log",
    "after_sweep_rows",
    "issue_committed",
    "before_render",
    "after_render",
    "finish_begun",
    "after_papers",
    "after_finish_log",
    "finish_committed",
)
UNMADE = ("unmade_begun", "after_unmade_log", "unmade_committed")
"""Those of noting that papers could not be made."""
ARRIVING = ("after_arrived_job", "after_photos_taken", "after_arrival")
"""The further ones of what a phone sends, within the issuing."""
PEOPLE = ("person_changed", "person_logged", "invite_taken", "invite_person_made", "invite_logged")
SETTINGS = ("settings_read", "settings_saved")

IMPORTING = (
    "import_begun", "after_import_cleared", "after_import_table", "after_import_rows", "after_import_verify",
    "import_committed",
)  # fmt: skip
EXPORTING = ("export_begun", "after_export_log", "export_committed")
SWEEPING = ("sweep_begun", "after_sweep_log", "sweep_committed")
RECHECKING = (
    "recheck_begun",
    "after_recheck_row",
    "after_recheck_log",
    "recheck_committed",
    "recheck_batch_begun",
    "after_recheck_place",
    "after_recheck_hits",
    "recheck_batch_committed",
    "after_recheck_end",
)
VOIDING = ("void_begun", "after_void_row", "after_void_log", "void_committed")
DESK = (
    "after_desk_opened",
    "after_desk_job",
    "after_desk_row",
    "after_desk_log",
    "after_inspection",
    "after_inspection_log",
)
"""Those of what the office does at its desk."""

CORRECTING = (
    "after_job_corrected", "after_correct_log", "correct_open_begun", "after_job_opened",
    "after_correct_open_log", "correct_open_committed", "take_back_begun", "after_job_taken_back",
    "after_take_back_log",
)  # fmt: skip
"""The further ones of a correction within the issuing, and those of opening a job to be measured again."""
HOLDING = (
    "hold_begun", "after_hold_row", "after_hold_log", "hold_committed", "lift_begun", "after_lift_row",
    "after_lift_log", "lift_committed",
)  # fmt: skip
SEALING = ("seal_begun", "after_seal_retired", "after_seal_rows", "after_seal_log", "seal_committed")
DISTRUSTING = ("seal_distrust_begun", "after_seal_distrust", "seal_distrust_committed")
LEADING_ON = ("share_lead_begun", "after_share_lead", "share_lead_committed")
MAILING = (
    "mail_begun", "after_mail_row", "after_mail_log", "mail_committed", "mail_take_begun", "after_mail_taken",
    "mail_take_committed", "mail_link_begun", "after_mail_linked", "after_mail_carried",
    "mail_link_committed", "mail_sent_begun", "after_mail_sent", "after_mail_sent_log", "mail_sent_committed",
    "mail_failed_begun", "after_mail_failed", "mail_failed_committed",
)  # fmt: skip
"""Those of asking for a mail, and of one try to send it."""
PLACING = ("blobs_noted", "blob_put", "blob_deleted")
"""Those of bodies that lie outside the database, only where a place for them is set."""
ERASING = (
    "erase_begun", "after_erased", "erase_committed", "erase_job_begun", "after_records_erased",
    "after_links_closed", "after_job_emptied", "after_erase_job_log", "erase_job_committed",
)  # fmt: skip


def _nothing(point: str) -> None:
    """Do nothing."""


hook: Callable[[str], None] = _nothing


def at(point: str) -> None:
    """Call the hook; in ordinary running it does nothing."""
    hook(point)
