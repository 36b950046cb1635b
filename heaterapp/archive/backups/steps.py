"""The named moments of a backup and of a restore; `faults.at` is called with each."""

MAKING = (
    "backup_begun",
    "backup_copying",
    "backup_copied",
    "backup_bodies",
    "backup_verified",
    "backup_key",
    "backup_manifest",
    "backup_named",
    "backup_later_noted",
    "backup_thinning",
    "backup_done",
)
"""From `backup_named` on the backup is there."""

RESTORING = (
    "restore_checked",
    "restore_copied",
    "restore_settled",
    "restore_verified",
    "restore_key",
    "restore_placed",
)
"""From `restore_placed` on the archive is there."""
