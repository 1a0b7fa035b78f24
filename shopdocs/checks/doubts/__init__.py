"""What is possible but surely not meant: the questions a careful friend would ask before the first cut.

Every doubt is a warning with its place, what was understood, and what is usual; where the usual has no source it says
*common practice*. The maker answers it under `meant:`.
"""
