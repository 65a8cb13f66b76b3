"""What the record announces to the apps on its right.

reopened: a declined commission is taken up again as an enquiry or as agreed work. Sent with
`commission`, before it is kept, within the transaction.
"""

from django.dispatch import Signal

reopened = Signal()
