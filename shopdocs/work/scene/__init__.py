"""The whole build in space: all pieces with their joints and holes, and the build taken apart."""
