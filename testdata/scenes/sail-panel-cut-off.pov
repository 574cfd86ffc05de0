// The camper van's sail panel, and the photo's edge runs through the square.
#include "photo.inc"
#declare About = "invented: a camper van's sail panel, the reference square cut off by the photo's edge";
#declare Status = 1;
#declare Seed = 112;
#declare Focal_35 = 27.3;
#include "panel.inc"

Camera(<214, 60, 0>, 360, 6, 250, 4)
Lamp(128, 52, 140, <1.0, 0.96, 0.90>*0.85)
Room_light(30, <0.93, 0.97, 1.0>*0.14)

Plastic(<0.30, 0.31, 0.32>, 0.3, 0)
Outline(array[6] {<-68, -62>, <150, -66>, <166, -20>, <84, 138>, <30, 158>, <-66, 62>}, 16, 7)
Grille(<56, 68>, 44.2, 0, 0)
Mounting_hole(<24.4, 87.6>, 4.2)
Mounting_hole(<92.3, 83.9>, 4.2)
Mounting_hole(<60.8, 29.1>, 4.2)
Slot(<112, -42>, 14, 6, 8)
Stray_hole(<124, 4>, 6.5)
Post(<66, -46>, 5, 6)
Rib(<76, 16>, <124, -16>, 1.4, 4)
Panel()
Mesh(<56, 68>, 46, 1.2, 2.2, 1.5, 11, <0.05, 0.05, 0.05>)
Cloth(<56, 68>, 46, 3.2, <0.025, 0.025, 0.027>)
Square(12, 60, 60, <0, 0>, 0)
Bench(14, Wood(<0.42, 0.27, 0.15>))
Write_truth()
