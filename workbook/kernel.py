"""The address of the learner's kernel, as running servers and laid-out folders name it: kept for ever."""

from workbook.server.learner_kernel import LearnerKernel, LearnerKernelApp

__all__ = ["LearnerKernel"]

if __name__ == "__main__":
    LearnerKernelApp.launch_instance(kernel_class=LearnerKernel)
