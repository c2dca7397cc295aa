"""Copies of a whole logbook, setting one up from a copy, and whether all is as it was written.

``write_backup`` may run while people write; ``restore`` makes a new data folder, or fills an empty
PostgreSQL database; ``check`` goes through the chain of every place, the states and the photos;
``examine`` says what is wrong with an installation.
"""

from sourloam.safekeeping.backing_up import Backup, write_backup
from sourloam.safekeeping.checking import Finding, check
from sourloam.safekeeping.examining import Examined, examine
from sourloam.safekeeping.restoring import restore
from sourloam.safekeeping.trouble import BackupError

__all__ = [
    "Backup",
    "BackupError",
    "Examined",
    "Finding",
    "check",
    "examine",
    "restore",
    "write_backup",
]
